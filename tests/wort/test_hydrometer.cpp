#include "../golden_table.hpp"
#include "near.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/wort/hydrometer.hpp>
#include <lotwort/wort/water.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;
using lotwort::test::GoldenRow;

TEST_CASE("hydrometer corrections: NBS, Balling 14 R, home table, the equation") {
    test::check_golden_table(
        "hydrometer.tsv",
        {{"hydrometer_brix_correction",
          [](const GoldenRow& r) {
              const Plato read(r.arg("obs"));
              return (plato_from_hydrometer(read, Celsius(r.arg("t")), Celsius(r.arg("tref"))) - read).value();
          }},
         {"hydrometer_sg_correct",
          [](const GoldenRow& r) {
              return corrected_hydrometer_mark(r.arg("sg"), Celsius(r.arg("t")), Celsius(r.arg("tref")));
          }},
         // The home table is water density alone; it has no glass in it, so ours must not either when held to it.
         {"water_only_correction", [](const GoldenRow& r) {
              return 1.0 - water_density(Celsius(r.arg("t"))) / water_density(Celsius(r.arg("tref")));
          }}});
}

TEST_CASE("leaving out the glass is 0.6 gravity points at 40 C") {
    const double water_only = 1.0 - water_density(Celsius(40.0)) / water_density(Celsius(15.0));
    const double ours = corrected_hydrometer_mark(1.0 - water_only, Celsius(40.0), Celsius(15.0)) - (1.0 - water_only);
    CHECK(water_only - ours == near(0.0006, 0.15));
}

TEST_CASE("read at its own temperature a stem tells the truth") {
    CHECK(gravity_from_hydrometer(1.048, Celsius(20.0), Celsius(20.0)).value() == near(1.048, 1e-13));
    CHECK(corrected_hydrometer_mark(1.048, Celsius(15.0), Celsius(15.0)) == near(1.048, 1e-13));
    CHECK(plato_from_hydrometer(Plato(12.0), Celsius(17.5), Celsius(17.5)).value() == near(12.0, 1e-12));
    CHECK(hydrometer_mark_of(0.12, 20.0, 20.0) == near(specific_gravity_of(0.12), 1e-15));
}

TEST_CASE("a 60 F stem at 60 F reads 60 F gravity, which is not SG 20/20") {
    const Celsius sixty(sixty_fahrenheit_c);
    CHECK(plato_from_hydrometer(1.05, sixty, sixty).value() == near(plato(Gravity60F(1.05)).value(), 1e-12));
    CHECK(gravity_from_hydrometer(1.05, sixty, sixty).value() < 1.05 - 0.0002);
}

TEST_CASE("a mark has the slope that the reconciliation follows") {
    const auto mark = hydrometer_mark_of(Dual<1>::parameter(0.12, 0), 35.0, 20.0);
    const auto degrees = hydrometer_plato_mark_of(Dual<1>::parameter(0.12, 0), 35.0, 20.0);
    const double h = 1e-6;
    CHECK(mark.slope[0] ==
          near((hydrometer_mark_of(0.12 + h, 35.0, 20.0) - hydrometer_mark_of(0.12 - h, 35.0, 20.0)) / (2 * h), 1e-7));
    CHECK(degrees.slope[0] ==
          near((hydrometer_plato_mark_of(0.12 + h, 35.0, 20.0) - hydrometer_plato_mark_of(0.12 - h, 35.0, 20.0)) /
                   (2 * h),
               1e-6));
    // and reading it back gives the wort again
    CHECK(plato_from_hydrometer(mark.value, Celsius(35.0), Celsius(20.0)).value() == near(12.0, 1e-12));
    CHECK(plato_from_hydrometer(Plato(degrees.value), Celsius(35.0), Celsius(20.0)).value() == near(12.0, 1e-12));
}

TEST_CASE("a mark that no wort shows is refused") {
    CHECK_THROWS_AS((void)plato_from_hydrometer(0.0, Celsius(20.0), Celsius(20.0)), Error);
    CHECK_THROWS_AS((void)plato_from_hydrometer(1048.0, Celsius(20.0), Celsius(20.0)), Error);
    CHECK_THROWS_AS((void)plato_from_hydrometer(1.048, Celsius(120.0), Celsius(20.0)), Error);
    CHECK_THROWS_AS((void)plato_from_hydrometer(Plato(99.0), Celsius(20.0), Celsius(20.0)), Error);
}
