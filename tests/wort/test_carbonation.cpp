// Carbon dioxide: what beer holds, by published tables, and what priming makes, by hand.
#include "../golden_table.hpp"
#include "near.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/wort/carbonation.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;

namespace {

constexpr double bar_per_psi = 0.0689475729;

Celsius of_fahrenheit(double f) {
    return Celsius((f - 32.0) / 1.8);
}

} // namespace

TEST_CASE("what beer holds of carbon dioxide, by the tables") {
    check_golden_table(
        "carbonation.tsv",
        {{"volumes_held",
          [](const GoldenRow& r) {
              const double bar = r.arg("psi") * bar_per_psi + sea_level_bar;
              return carbon_dioxide_held(of_fahrenheit(r.arg("f")), bar) / carbon_dioxide_g_per_volume;
          }},
         {"gauge_psi",
          [](const GoldenRow& r) {
              return gauge_pressure(r.arg("volumes") * carbon_dioxide_g_per_volume, of_fahrenheit(r.arg("f"))) /
                     bar_per_psi;
          }},
         {"held_per_bar", [](const GoldenRow& r) { return carbon_dioxide_held(Celsius(r.arg("c")), 1.0); }},
         {"bunsen_share", [](const GoldenRow& r) {
              return carbon_dioxide_left(Celsius(r.arg("c"))) / (r.arg("bunsen") * carbon_dioxide_g_per_volume);
          }}});
}

TEST_CASE("a pressure and what it holds are one another's inverse") {
    for (const double at : {0.0, 4.0, 12.0, 25.0})
        for (const double bar : {0.0, 0.8, 2.5})
            CHECK(gauge_pressure(carbon_dioxide_held(Celsius(at), bar + sea_level_bar), Celsius(at)) ==
                  near(bar, 1e-9, 1e-9));
}

// 40 bottles of half a litre, primed with 104 g of dry sugar: 5.2 g/L. Of 2.0665 g of it 1 g becomes alcohol and 0.9565
// g gas: 2.516 g/L and 2.407 g/L; 2.516 g/L of alcohol of 789.24 g/L are 0.319 %.
TEST_CASE("5.2 g of sugar a litre make 2.41 g of gas and 0.32 % of alcohol") {
    CHECK(5.2 * gas_per_extract == near(2.407, 0.001));
    CHECK(alcohol_of_priming(5.2).value() == near(0.319, 0.001));
    CHECK(priming_extract(1.66, 1.66 + 2.407) == near(5.2, 0.002));
    CHECK(priming_extract(5.0, 4.0) == 0.0);
}

TEST_CASE("beer of no temperature that beer has is refused") {
    CHECK_THROWS_AS((void)carbon_dioxide_held(Celsius(60.0), 1.0), Error);
    CHECK_THROWS_AS((void)carbon_dioxide_held(Celsius(10.0), -1.0), Error);
}
