#include <doctest/doctest.h>
#include <limits>
#include <lotwort/core/amount.hpp>
#include <lotwort/core/error.hpp>

using namespace lotwort;

// What breaks if this breaks: a stock that is used up leaves a crumb that no scale can see.

TEST_CASE("an amount is a whole number of the smallest unit") {
    CHECK(Amount::of(Kilograms(25.0)).units == 25'000'000);
    CHECK(Amount::of(Kilograms(4.35)).units == 4'350'000); // 4.35 is not exact in binary
    CHECK(Amount::of(Grams(0.0014)).units == 1);
    CHECK(Amount::of(Litres(23.5)).units == 23'500'000);
    CHECK(Amount::of(Kilograms(-1.5)).units == -1'500'000);
    CHECK(Amount::pieces(3).units == 3);
}

TEST_CASE("ten thousand weighings of 100 g out of a tonne leave exactly nothing") {
    Amount stock = Amount::of(Kilograms(1000.0));
    for (int i = 0; i < 10'000; ++i) stock = stock - Amount::of(Kilograms(0.1));
    CHECK(stock == Amount{Measure::mass, 0});
}

TEST_CASE("an amount is written as a person writes it, exactly") {
    CHECK(to_text(Amount::of(Kilograms(25.0))) == "25 kg");
    CHECK(to_text(Amount::of(Kilograms(1.0))) == "1 kg");
    CHECK(to_text(Amount::of(Grams(330.0))) == "330 g");
    CHECK(to_text(Amount::of(Grams(0.05))) == "0.05 g");
    CHECK(to_text(Amount::of(Kilograms(4.35))) == "4.35 kg");
    CHECK(to_text(Amount{Measure::mass, 12'345'678}) == "12.345678 kg");
    CHECK(to_text(Amount{Measure::mass, -250'000}) == "-250 g");
    CHECK(to_text(Amount{Measure::mass, -2'500'000}) == "-2.5 kg");
    CHECK(to_text(Amount{Measure::mass, 0}) == "0 kg");
    CHECK(to_text(Amount::of(Litres(1.5))) == "1.5 L");
    CHECK(to_text(Amount::of(Litres(0.33))) == "330 ml");
    CHECK(to_text(Amount::pieces(1)) == "1 piece");
    CHECK(to_text(Amount::pieces(3)) == "3 pieces");
    CHECK(to_text(Amount{Measure::mass, std::numeric_limits<std::int64_t>::min()}) == "-9223372036854.775808 kg");
}

TEST_CASE("masses and volumes do not mix") {
    CHECK_THROWS_AS((void)(Amount::of(Kilograms(1.0)) + Amount::of(Litres(1.0))), Bug);
    CHECK_THROWS_AS((void)(Amount::of(Kilograms(1.0)) < Amount::pieces(1)), Bug);
    CHECK_THROWS_AS((void)Amount::pieces(1).kilograms(), Bug);
    CHECK_THROWS_AS((void)Amount::of(Kilograms(std::numeric_limits<double>::quiet_NaN())), Bug);
}

TEST_CASE("a sum that would wrap is a bug, not a negative stock") {
    const Amount most{Measure::count, std::numeric_limits<std::int64_t>::max()};
    CHECK_THROWS_AS((void)(most + Amount::pieces(1)), Bug);
    const Amount least{Measure::count, std::numeric_limits<std::int64_t>::min()};
    CHECK_THROWS_AS((void)-least, Bug);
}

TEST_CASE("every gram of a hundred kilograms is booked to the milligram") {
    for (int grams = 1; grams <= 100'000; ++grams)
        if (Amount::of(Kilograms(grams * 0.001)).units != grams * 1000) FAIL("not so at ", grams, " g");
}
