#include "exchange/generated_book.hpp"
#include "golden.hpp"
#include <doctest/doctest.h>
#include <lotwort/exchange/exchange_file.hpp>

using namespace lotwort;
using test::generated_book;
using test::project_file;

TEST_CASE("a brewery of a year is read to its last figure") {
    const Book book = read_exchange(project_file("tests/golden/first-brewery.json"), "first-brewery.json");
    CHECK(book.currency == "EUR");
    CHECK(book.items.size() == 5);
    CHECK(book.instruments.size() == 5);
    CHECK(book.lots.size() == 9);
    CHECK(book.recipes.size() == 4);

    const Lot& hops = book.lots.front();
    CHECK(hops.code == "BH-01");
    CHECK(hops.received_amount == Amount{Measure::mass, 1'400'000}); // 1.4 kg in mg
    CHECK(hops.price == Money{4000});
    CHECK(hops.storage == Celsius(-18.0));
    CHECK(hops.certificate->hop_storage_index == 0.28);
    CHECK(hops.certificate->analysed == parse_iso_date("2024-12-01"));

    const Brew& brew = book.brews.front();
    CHECK(brew.additions[2].amount == Amount{Measure::mass, 25'300}); // 25.3 g
    CHECK(brew.readings[2].point == ReadingPoint::kettle_full);
    CHECK(brew.readings[2].gravity_sg == SpecificGravity(1.0385));
    CHECK(brew.readings[2].gravity_at == Celsius(26.0));
    CHECK(brew.readings[2].id == "r3"); // by its place

    const Brewhouse& kit = book.brewhouses.front();
    CHECK(kit.sparge == Sparge::batch);
    CHECK(kit.batch_sparges == 1);
}

TEST_CASE("what has been written once is written the same ever after") {
    for (const char* name :
         {"first-brewery.json", "second-brewery.json", "substitution/base_other_base/case.json",
          "substitution/colour_drift_roasted/case.json", "substitution/two_brews_compete/case.json"}) {
        CAPTURE(name);
        const Book book = read_exchange(project_file(std::string("tests/golden/") + name), name);
        const std::string once = write_exchange(book);
        const Book again = read_exchange(once, "once");
        CHECK(again == book);
        CHECK(write_exchange(again) == once);
    }
}

TEST_CASE("any book at all comes back as it was") {
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        CAPTURE(seed);
        const Book book = generated_book(seed);
        const std::string text = write_exchange(book);
        Book again;
        REQUIRE_NOTHROW(again = read_exchange(text, "generated"));
        CHECK(again == book);
        CHECK(write_exchange(again) == text);
    }
}

TEST_CASE("an empty book is a document") {
    CHECK(write_exchange(Book{}) == "{\n \"schema\": \"lotwort/exchange/1\"\n}\n");
    CHECK(read_exchange(R"({"schema": "lotwort/exchange/1"})", "empty") == Book{});
    CHECK(read_exchange("\xef\xbb\xbf{\"schema\": \"lotwort/exchange/1\", \"lots\": []}", "with a mark") == Book{});
}

TEST_CASE("a record of a table stands in one line, in the brewer's units") {
    Book book;
    Brew& brew = book.brews.emplace_back();
    brew.code = "B1";
    brew.date = *parse_iso_date("2026-03-01");
    brew.brewhouse = "main";
    brew.additions.push_back({"PM-01", Stage::mash, Amount{Measure::mass, 4'200'000}, {}, {}, {}, {}});
    brew.additions.push_back({"BH-01", Stage::boil, Amount{Measure::mass, 25'300}, Minutes(60.0), {}, {}, {}});
    brew.additions.push_back({"yeast 7", Stage::fermenter, Amount::pieces(2), {}, {}, {}, {}});
    CHECK(write_exchange(book) == R"({
 "schema": "lotwort/exchange/1",
 "brews": [
  {
   "code": "B1",
   "date": "2026-03-01",
   "brewhouse": "main",
   "additions": [
    {"lot": "PM-01", "stage": "mash", "mass_kg": 4.2},
    {"lot": "BH-01", "stage": "boil", "mass_g": 25.3, "minutes": 60},
    {"lot": "yeast 7", "stage": "fermenter", "count": 2}
   ]
  }
 ]
}
)");
}

TEST_CASE("an amount is exact to the milligram, money to the hundredth") {
    const auto lot_of = [](std::string_view amount, std::string_view price) {
        return read_exchange(std::string(R"({"schema": "lotwort/exchange/1", "lots": [{"code": "L", "item": "malt",
            "received": "2026-03-01", )") +
                                 std::string(amount) + ", \"price\": " + std::string(price) + "}]}",
                             "lot")
            .lots.front();
    };
    CHECK(lot_of(R"("mass_kg": 0.1)", "0.1").received_amount == Amount{Measure::mass, 100'000});
    CHECK(lot_of(R"("mass_kg": 1000000)", "1e9").received_amount == Amount{Measure::mass, 1'000'000'000'000});
    CHECK(lot_of(R"("mass_g": 0.001)", "0").received_amount == Amount{Measure::mass, 1});
    CHECK(lot_of(R"("volume_l": 2.000001)", "0").received_amount == Amount{Measure::volume, 2'000'001});
    CHECK(lot_of(R"("count": 3.0)", "0").received_amount == Amount{Measure::count, 3});
    CHECK(lot_of(R"("count": 3)", "32.57").price == Money{3257});
    CHECK(lot_of(R"("count": 3)", "1e9").price == Money{100'000'000'000});
    CHECK(lot_of(R"("count": 3)", "0.1").price == Money{10});
}
