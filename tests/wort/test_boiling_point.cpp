#include "../golden_table.hpp"
#include "near.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/wort/boiling_point.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;
using lotwort::test::GoldenRow;

TEST_CASE("vapour pressure, standard atmosphere, boiling point by altitude") {
    test::check_golden_table(
        "boiling_point.tsv",
        {{"saturation_pressure", [](const GoldenRow& r) { return saturation_pressure_pa(r.arg("t")); }},
         {"pressure_at_altitude", [](const GoldenRow& r) { return pressure_at_altitude_pa(r.arg("h")); }},
         {"boiling_c", [](const GoldenRow& r) { return boiling_c(r.arg("p")); }},
         {"boiling_point", [](const GoldenRow& r) { return boiling_point(Metres(r.arg("h"))).value(); }}});
}

TEST_CASE("up the hill the kettle boils cooler: a degree for every 300 m") {
    CHECK(boiling_point().value() == near(99.974, 1e-5));
    for (double h = 0.0; h < 3000.0; h += 100.0) {
        const double drop = (boiling_point(Metres(h)) - boiling_point(Metres(h + 300.0))).value();
        CHECK(drop > 0.95);
        CHECK(drop < 1.05);
    }
}

TEST_CASE("an altitude or a pressure outside is refused and the range named") {
    CHECK_THROWS_WITH_AS((void)boiling_point(Metres(8848.0)), "altitude in m: 8848 is outside -500 to 6000", Error);
    CHECK_THROWS_AS((void)boiling_point(Metres(std::nan(""))), Error);
    CHECK_THROWS_WITH_AS((void)solve_boiling_c(101.325), "pressure in Pa: 101.325 is outside 620 to 470000", Error);
}
