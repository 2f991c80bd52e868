// Any amount in any unit a person may type comes back as it was, and stays in order.
#include "wort/generator.hpp"
#include <array>
#include <cmath>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/typed.hpp>
#include <string_view>

using namespace lotwort;
using lotwort::test::Generator;
using lotwort::test::seed;
using lotwort::test::tries;

namespace {

double typed(const std::string& text) {
    return std::visit([](const auto& quantity) { return quantity.value(); }, parse_typed(text).value);
}

constexpr std::array<std::string_view, 33> units{
    "kg",    "g",     "mg",   "t",    "lb",   "oz",     "l",      "ml",    "hl",    "cl",  "galUS",
    "galUK", "qtUS",  "qtUK", "ptUS", "ptUK", "flozUS", "flozUK", "bblUS", "bblUK", "min", "h",
    "days",  "weeks", "cm",   "mm",   "m",    "in",     "ft",     "ebc",   "srm",   "lov", "ppg"};

} // namespace

TEST_CASE("units: so many of a unit over one of it is so many, and more is more") {
    MESSAGE("seed ", seed, ", ", tries, " amounts");
    Generator g(seed + 50);
    for (int i = 0; i < tries; ++i) {
        const std::string_view unit = units[g.one_of(units.size())];
        const double amount = std::exp(g.between(-7.0, 12.0));
        const std::string text = fmt::format("{}{}", amount, unit);
        CAPTURE(text);
        const double value = typed(text), one = typed(fmt::format("1{}", unit));
        REQUIRE(std::isfinite(value));
        REQUIRE(std::abs(value / one / amount - 1.0) < 1e-12);
        REQUIRE(typed(fmt::format("{}{}", amount * 1.001, unit)) > value);
    }
}

TEST_CASE("temperatures: Fahrenheit there and back, and a difference keeps its size") {
    MESSAGE("seed ", seed, ", ", tries, " temperatures");
    Generator g(seed + 51);
    for (int i = 0; i < tries; ++i) {
        const double fahrenheit = g.between(-60.0, 240.0), width = g.between(0.01, 20.0);
        CAPTURE(fahrenheit);
        const Typed read = parse_typed(fmt::format("{}±{}F", fahrenheit, width));
        const double celsius = std::get<Celsius>(read.value).value();
        REQUIRE(std::abs(celsius * 9.0 / 5.0 + 32.0 - fahrenheit) < 1e-9);
        REQUIRE(std::abs(*read.sd * 9.0 / 5.0 - width) < 1e-9);
    }
}

TEST_CASE("an uncertainty stands before the unit or behind it") {
    CHECK(*parse_typed("11%±0.3").sd == 0.3);
    CHECK(parse_typed("11%±0.3") == parse_typed("11±0.3%"));
    CHECK(parse_typed("11 % +- 0.3 %") == parse_typed("11±0.3%"));
    CHECK(parse_typed("500g±5g") == parse_typed("500±5g"));
    CHECK_THROWS_AS((void)parse_typed("500g±5kg"), Error);
    CHECK_THROWS_AS((void)parse_typed("500g±"), Error);
}
