#include <doctest/doctest.h>
#include <limits>
#include <lotwort/core/format.hpp>

using namespace lotwort;

// What breaks if this breaks: a figure claims more than the readings know.

TEST_CASE("a value is rounded to two digits of its uncertainty") {
    CHECK(with_sd(81.2345, 1.6234, "%") == "81.2 ± 1.6 %");
    CHECK(with_sd(1.04523, 0.00061) == "1.04523 ± 0.00061");
    CHECK(with_sd(1234.0, 123.0, "L") == "1230 ± 120 L");
    CHECK(with_sd(23.456, 12.0, "L") == "23 ± 12 L");
    CHECK(with_sd(-0.00004, 0.0016) == "0.0000 ± 0.0016");
    CHECK(with_sd(25.0, 0.0, "kg") == "25 kg");
    CHECK(with_sd(25.0, std::numeric_limits<double>::infinity()) == "25");
}

TEST_CASE("an uncertainty that rounds up to a new digit keeps two of them") {
    CHECK(with_sd(5.0, 0.0996) == "5.00 ± 0.10");
    CHECK(with_sd(5.0, 9.96) == "5 ± 10");
    CHECK(decimals_for(0.0994) == 3);
    CHECK(decimals_for(0.0996) == 2);
    CHECK(decimals_for(12.0) == 0);
    CHECK(decimals_for(123.0) == -1);
}

TEST_CASE("a gravity stays at the four decimals its trade reads, and shows one digit of its uncertainty at least") {
    CHECK(with_sd(1.04523, 0.00061, "", 4) == "1.0452 ± 0.0006");
    CHECK(with_sd(1.04523, 0.000034, "", 4) == "1.04523 ± 0.00003");
}

TEST_CASE("an interval shows both ends to the decimals of the sd") {
    CHECK(interval(78.6123, 83.8456, 1.6, "%") == "78.6 to 83.8 %");
}

TEST_CASE("a figure that was converted is read in six digits") {
    CHECK(readable((150.0 - 32.0) / 1.8) == "65.5556");
    CHECK(readable(6.0 * 3.785411784) == "22.7125");
    CHECK(readable(-20.0 / 3.0) == "-6.66667");
    CHECK(readable(1.0405) == "1.0405");
    CHECK(readable(23.0) == "23");
    CHECK(readable(1234567.8) == "1234568");
    CHECK(readable(0.00005) == "5e-05");
    CHECK(readable(0.0) == "0");
}

TEST_CASE("fixed and shortest never show a negative nothing") {
    CHECK(fixed(-0.04, 1) == "0.0");
    CHECK(fixed(0.05, 1) == "0.1"); // the double is just above 0.05
    CHECK(fixed(-1.25, 1) == "-1.2");
    CHECK(shortest(-0.0) == "0");
    CHECK(shortest(0.1) == "0.1");
    CHECK(shortest(25.0) == "25");
}

TEST_CASE("a figure known to the hundred is rounded to the ten, up as well as down") {
    CHECK(with_sd(1288.0, 120.0, "kg") == "1290 ± 120 kg");
    CHECK(with_sd(1282.0, 120.0, "") == "1280 ± 120");
}
