#include "../golden_table.hpp"
#include "near.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/textbook.hpp>
#include <lotwort/wort/volume.hpp>
#include <lotwort/wort/water.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;
using lotwort::test::GoldenRow;

TEST_CASE("textbook figures of the brewhouse") {
    namespace tb = lotwort::wort::textbook;
    const auto moisture = [](const GoldenRow& r) {
        return Percent(r.args.contains("moisture") ? r.arg("moisture") : 0.0);
    };
    test::check_golden_table(
        "textbook.tsv",
        {{"brewhouse_yield",
          [](const GoldenRow& r) {
              return tb::brewhouse_yield(Litres(r.arg("litres")), Plato(r.arg("plato")), r.arg("sg"),
                                         Kilograms(r.arg("grist_kg")), r.arg("factor"))
                  .value();
          }},
         {"water_contraction", [](const GoldenRow& r) { return water_contraction(Celsius(r.arg("t_hot"))); }},
         {"extract_kg",
          [](const GoldenRow& r) {
              return tb::extract(Litres(r.arg("litres")), Plato(r.arg("plato")), r.arg("sg")).value();
          }},
         {"first_wort_kunze",
          [](const GoldenRow& r) { return tb::first_wort(LitresPerKilogram(r.arg("hl_per_100kg"))).value(); }},
         {"mash_ratio_kunze", [](const GoldenRow& r) { return tb::mash_liquor_for(Plato(r.arg("plato"))).value(); }},
         {"first_wort_balance",
          [&](const GoldenRow& r) {
              return tb::first_wort(Percent(r.arg("extract_as_is")), r.arg("kg_water_per_100kg"), moisture(r)).value();
          }},
         {"grist_simple",
          [](const GoldenRow& r) {
              return tb::grist_short_form(Litres(100.0 * r.arg("hl")), Plato(r.arg("plato")),
                                          Percent(r.arg("efficiency")), Percent(r.arg("extract")))
                  .value();
          }},
         {"spent_grain_wet",
          [&](const GoldenRow& r) { return tb::spent_grain(Kilograms(r.arg("dry_kg")), moisture(r)).value(); }},
         {"evaporation_percent",
          [](const GoldenRow& r) { return tb::evaporation(Litres(r.arg("v0")), Litres(r.arg("v1"))).value(); }},
         {"boil_plato", [](const GoldenRow& r) {
              return tb::after_boil(Plato(r.arg("p0")), Kilograms(r.arg("kg0")), Kilograms(r.arg("kg_evaporated")))
                  .value();
          }}});
}

TEST_CASE("P times SG overstates extract by 0.18 % against the mass") {
    const double by_gravity =
        textbook::extract(Litres(100.0), Plato(12.0), specific_gravity(Plato(12.0)).value()).value();
    const double by_mass = extract_mass(Litres(100.0), Celsius(20.0), Plato(12.0)).value();
    CHECK(by_gravity / by_mass - 1.0 == near(0.0018, 0.01));
}

TEST_CASE("what the books cannot divide is refused") {
    namespace tb = lotwort::wort::textbook;
    CHECK_THROWS_AS((void)tb::brewhouse_yield(Litres(20.0), Plato(12.0), 1.048, Kilograms(0.0), 1.0), Error);
    CHECK_THROWS_AS((void)tb::first_wort(LitresPerKilogram(0.0)), Error);
    CHECK_THROWS_AS((void)tb::after_boil(Plato(10.0), Kilograms(100.0), Kilograms(95.0)), Error);
    CHECK_THROWS_AS((void)tb::evaporation(Litres(0.0), Litres(1.0)), Error);
}
