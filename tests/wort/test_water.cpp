#include "../golden_table.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/wort/density.hpp>
#include <lotwort/wort/water.hpp>

using namespace lotwort;
using namespace lotwort::wort;
using lotwort::test::GoldenRow;

TEST_CASE("water density: Tanaka, Kell, the sucrose equation's own, IAPWS-95") {
    test::check_golden_table(
        "water_density.tsv",
        {{"water_tanaka", [](const GoldenRow& r) { return water_tanaka_kg_m3(r.arg("t")); }},
         {"water_tanaka_aerated", [](const GoldenRow& r) { return water_tanaka_aerated_kg_m3(r.arg("t")); }},
         {"water_kell", [](const GoldenRow& r) { return water_kell_kg_m3(r.arg("t")); }},
         {"water_icumsa", [](const GoldenRow& r) { return icumsa::water_density_kg_m3(r.arg("t")); }},
         // The misprint is a formula of its own: the row shows that ours is not it.
         {"water_kell_misprint", [](const GoldenRow& r) {
              const double t = r.arg("t");
              return water_kell_kg_m3(t) * (1.0 + 16.879850e-3 * t) / (1.0 + 16.897850e-3 * t);
          }}});
}

TEST_CASE("the two water formulas are joined without a step in value or slope") {
    const auto rho = [](double t) { return water_density(Celsius(t)).value(); };
    const double h = 1e-3;
    const auto slope = [&](double t) { return (rho(t + h) - rho(t - h)) / (2.0 * h); };
    const auto difference = [](double t) { return water_kell_kg_m3(t) - water_tanaka_kg_m3(t); };
    for (double t = 33.0; t <= 42.0; t += 0.01) {
        CAPTURE(t);
        // between the two sources, each of which is within 0.016 of IAPWS-95
        CHECK(std::abs(rho(t) - water_kell_kg_m3(t)) <= std::abs(difference(t)) + 1e-12);
        CHECK(std::abs(slope(t + h) - slope(t)) < 2e-5);
    }
    for (double joint : {35.0, 40.0}) {
        CHECK(std::abs(rho(joint + 1e-9) - rho(joint - 1e-9)) < 1e-8);
        CHECK(std::abs(slope(joint + h) - slope(joint - h)) < 4e-5); // water's own curvature is 0.007 over 1 C
    }
    CHECK(rho(20.0) == water_tanaka_kg_m3(20.0));
    CHECK(rho(95.0) == water_kell_kg_m3(95.0));
}

TEST_CASE("water falls in density all the way from 4 to 100 C") {
    double last = water_density(Celsius(4.0)).value();
    for (int i = 1; i <= 960; ++i) {
        const double now = water_density(Celsius(4.0 + 0.1 * i)).value();
        CHECK(now < last);
        last = now;
    }
}

TEST_CASE("a temperature outside the formulas is refused and the range named") {
    CHECK_THROWS_WITH_AS((void)water_density(Celsius(-0.5)), "temperature in C: -0.5 is outside 0 to 100", Error);
    CHECK_THROWS_AS((void)water_density(Celsius(100.1)), Error);
    CHECK_THROWS_AS((void)water_density(Celsius(std::nan(""))), Error);
    CHECK_THROWS_AS((void)aerated_water_density(Celsius(41.0)), Error);
}
