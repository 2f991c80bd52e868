#include "../golden_table.hpp"
#include "near.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/wort/density.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/volume.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;
using lotwort::test::GoldenRow;

TEST_CASE("sucrose density and apparent gravity") {
    test::check_golden_table(
        "sucrose_density.tsv",
        {{"sucrose_density",
          [](const GoldenRow& r) { return wort_density(Plato(r.arg("w")), Celsius(r.arg("t"))).value(); }},
         {"sg_apparent", [](const GoldenRow& r) { return apparent_gravity(Plato(r.arg("w"))).value(); }}});
}

TEST_CASE("NBS C440 table 114, every whole degree") {
    test::check_golden_table("nbs440.tsv", {{"sg_apparent_nbs", [](const GoldenRow& r) {
                                                 return apparent_gravity(Plato(r.arg("w"))).value();
                                             }}});
}

TEST_CASE("the table read backwards: a beer table's gravity gives its own Plato") {
    for (const GoldenRow& row : test::golden_rows("nbs440.tsv")) {
        const double w = row.arg("w");
        if (w > 30.0) continue;
        CAPTURE(w);
        // the two publications differ by 0.012 P at 20 P and 0.02 at 30
        const double allowed = w <= 20.0 ? 0.0145 : 0.0215;
        CHECK(std::abs(plato(ApparentGravity(row.expected)).value() - w) <= allowed);
    }
}

TEST_CASE("a Dual carries the slope of the density") {
    const auto rho = sucrose_density_kg_m3(Dual<2>::parameter(0.12, 1), 65.0);
    const double h = 1e-5;
    const double by_difference =
        (sucrose_density_kg_m3(0.12 + h, 65.0) - sucrose_density_kg_m3(0.12 - h, 65.0)) / (2 * h);
    CHECK(rho.value == sucrose_density_kg_m3(0.12, 65.0));
    CHECK(rho.slope[0] == 0.0);
    CHECK(rho.slope[1] == near(by_difference, 1e-8));
}

TEST_CASE("the inverse carries the reciprocal slope") {
    const auto w = mass_fraction_of_gravity(Dual<1>::parameter(1.048, 0));
    const auto back = specific_gravity_of(w);
    CHECK(back.value == near(1.048, 1e-14));
    CHECK(back.slope[0] == near(1.0, 1e-12));
}

TEST_CASE("hot wort shrinks, extract does not") {
    // 28 L at 95 C of 10 P; by the density table of tests/golden: water alone would leave 26.98 L
    const Litres cold = volume_at(Litres(28.0), Plato(10.0), Celsius(95.0), Celsius(20.0));
    CHECK(cold.value() < 27.01);
    CHECK(cold.value() > 26.94);
    CHECK(extract_mass(Litres(28.0), Celsius(95.0), Plato(10.0)).value() ==
          near(extract_mass(cold, Celsius(20.0), Plato(10.0)).value(), 1e-14));
    // 100 L of 12 P at 20 C: 104.6444 kg (golden row SD-009) of which 12 % is extract
    CHECK(extract_mass(Litres(100.0), Celsius(20.0), Plato(12.0)).value() == near(12.55733, 1e-6));
    CHECK(volume_holding(Kilograms(12.55733), Plato(12.0)).value() == near(100.0, 1e-6));
}

TEST_CASE("what no wort can be is refused and the range named") {
    CHECK_THROWS_WITH_AS((void)wort_density(Plato(120.0), Celsius(20.0)), "extract in Plato: 120 is outside -5 to 95",
                         Error);
    CHECK_THROWS_WITH_AS((void)plato(SpecificGravity(1.6)), "specific gravity 20/20: 1.6 is outside 0.98104 to 1.51861",
                         Error);
    CHECK_THROWS_AS((void)plato(SpecificGravity(1048.0)), Error);
    CHECK_THROWS_AS((void)plato(SpecificGravity(std::nan(""))), Error);
    CHECK_THROWS_AS((void)plato_of_density(KilogramsPerCubicMetre(900.0), Celsius(20.0)), Error);
    CHECK_THROWS_AS((void)solve_mass_fraction(5000.0, 20.0), Error);
    CHECK_THROWS_AS((void)volume_holding(Kilograms(1.0), Plato(0.0)), Error);
}
