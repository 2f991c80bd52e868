// Colour, bitterness and alcohol: what the forecast says of the beer.
#include "../golden_table.hpp"
#include "near.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/alcohol_rules.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/colour.hpp>
#include <lotwort/wort/ethanol.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;
using lotwort::test::GoldenRow;

namespace {

constexpr double grams_per_ounce = 28.349523125;

double apparent_attenuation_cancels(double original) { // A/(OE - AE) does not depend on AE by Balling's rule
    const double apparent = 0.25 * original;
    return balling_alcohol_by_mass(original, balling_real_extract(original, apparent)) / (original - apparent);
}

} // namespace

TEST_CASE("colour: absorbance, units, Morey") {
    test::check_golden_table(
        "colour.tsv",
        {{"srm_from_a430", [](const GoldenRow& r) { return srm_of_absorbance(r.arg("a")).value(); }},
         {"ebc_from_a430", [](const GoldenRow& r) { return ebc_of_absorbance(r.arg("a")).value(); }},
         {"ebc_from_srm", [](const GoldenRow& r) { return to_ebc(Srm(r.arg("s"))).value(); }},
         {"morey_srm", [](const GoldenRow& r) { return to_srm(beer_colour(MaltColourUnits(r.arg("m")))).value(); }},
         {"mcu", [](const GoldenRow& r) {
              return malt_colour_units(Kilograms(r.arg("lb") * kilograms_per_pound), Lovibond(r.arg("lovibond")),
                                       Litres(r.arg("gal") * litres_per_us_gallon))
                  .value();
          }}});
}

TEST_CASE("hop utilisation: Tinseth's table, whole") {
    test::check_golden_table(
        "tinseth.tsv",
        {{"tinseth_utilization",
          [](const GoldenRow& r) { return utilisation(SpecificGravity(r.arg("sg")), Minutes(r.arg("minutes"))); }},
         {"tinseth_ibu",
          [](const GoldenRow& r) {
              const double u = utilisation(SpecificGravity(r.arg("sg")), Minutes(r.arg("minutes")));
              return bitterness(Grams(r.arg("grams")), Percent(r.arg("alpha")), u, Litres(r.arg("litres"))).value();
          }},
         {"alpha_mg_per_l_us",
          [](const GoldenRow& r) {
              const Litres beer(r.arg("gallons") * litres_per_us_gallon);
              // printed with the rounded 7490; the exact constant is 7489.15, 0.01 % less
              return bitterness(Grams(r.arg("oz") * grams_per_ounce), Percent(r.arg("alpha")), 1.0, beer).value() *
                     7490.0 / 7489.15;
          }},
         {"palmer_ibu", [](const GoldenRow& r) { // aau: ounces times per cent alpha
              const Litres beer(r.arg("gallons") * litres_per_us_gallon);
              return bitterness(Grams(r.arg("aau") * grams_per_ounce), Percent(1.0), r.arg("util"), beer).value();
          }}});
}

TEST_CASE("alcohol: OIML R 22, Balling, Cutaia, Doemens, Tabarie, the rule of 1917, the duty table") {
    test::check_golden_table(
        "alcohol.tsv",
        {{"oiml_density",
          [](const GoldenRow& r) { return ethanol_density(Percent(r.arg("abw")), Celsius(r.arg("t"))).value(); }},
         {"abv_water_ethanol",
          [](const GoldenRow& r) { return alcohol_by_volume_of_mixture(Percent(r.arg("abw"))).value(); }},
         {"ethanol_sg2020",
          [](const GoldenRow&) { return ethanol_density_kg_m3(1.0, 20.0) / ethanol_density_kg_m3(0.0, 20.0); }},
         {"balling_oe",
          [](const GoldenRow& r) { return original_extract(Percent(r.arg("abw")), Plato(r.arg("re"))).value(); }},
         {"balling_re",
          [](const GoldenRow& r) { return real_extract(Plato(r.arg("oe")), Plato(r.arg("ae"))).value(); }},
         {"balling_abw", [](const GoldenRow& r) { return balling_alcohol_by_mass(r.arg("oe"), r.arg("re")); }},
         {"balling_a", [](const GoldenRow& r) { return apparent_attenuation_cancels(r.arg("oe")); }},
         {"rdf_asbc",
          [](const GoldenRow& r) {
              return real_degree_of_fermentation(Plato(r.arg("oe")), Plato(r.arg("re"))).value();
          }},
         {"oe_1917", [](const GoldenRow& r) { return original_extract_of_1917(r.arg("abw"), r.arg("re")); }},
         {"degree_fermentation",
          [](const GoldenRow& r) { return real_attenuation(Plato(r.arg("oe")), Plato(r.arg("residual"))).value(); }},
         {"tabarie_re", [](const GoldenRow& r) { return tabarie_real_extract(r.arg("ae"), r.arg("abw")); }},
         {"cutaia_a", [](const GoldenRow& r) { return cutaia_factors(r.arg("oe")).a; }},
         {"cutaia_b", [](const GoldenRow& r) { return cutaia_factors(r.arg("oe")).b; }},
         {"cutaia_c", [](const GoldenRow& r) { return cutaia_factors(r.arg("oe")).c; }},
         {"cutaia_q", [](const GoldenRow& r) { return cutaia_factors(r.arg("oe")).q; }},
         {"doemens_a", [](const GoldenRow& r) { return doemens_factors(r.arg("oe")).a; }},
         {"doemens_q", [](const GoldenRow& r) { return doemens_factors(r.arg("oe")).q; }},
         {"hmrc_abv", [](const GoldenRow& r) {
              return alcohol_by_volume_duty_rule(SpecificGravity(1.0 + r.arg("points") / 1000.0), SpecificGravity(1.0))
                  .value();
          }}});
}

TEST_CASE("the ethanol density written into the alcohol rule is that of OIML R 22") {
    CHECK(ethanol_20c_kg_m3 == near(ethanol_density_kg_m3(1.0, 20.0), 1e-6));
}

TEST_CASE("Balling's three relations are one") {
    const double by_mass = alcohol_by_mass(Plato(12.0), Plato(2.5)).value();
    const double real = real_extract(Plato(12.0), Plato(2.5)).value();
    CHECK(original_extract(Percent(by_mass), Plato(real)).value() == near(12.0, 1e-4));
}

TEST_CASE("the duty rule stays within 3 % of Balling for ordinary beers, below it") {
    for (double og : {1.036, 1.040, 1.048}) {
        const SpecificGravity original(og), final(1.0 + 0.25 * (og - 1.0));
        const double balling = alcohol_by_volume(original, final).value();
        const double duty = alcohol_by_volume_duty_rule(original, final).value();
        CAPTURE(og);
        CHECK(duty < balling);
        CHECK(balling / duty - 1.0 < 0.03);
    }
}

TEST_CASE("attenuation") {
    CHECK(apparent_attenuation(Plato(12.0), Plato(3.0)).value() == near(75.0));
    CHECK(real_attenuation(Plato(12.0), Plato(4.8)).value() == near(60.0));
    CHECK(apparent_extract_after(12.0, 0.75) == near(3.0));
    CHECK_THROWS_AS((void)apparent_attenuation(Plato(0.0), Plato(0.0)), Error);
    CHECK_THROWS_AS((void)alcohol_by_volume(Plato(10.0), Plato(12.0)), Error); // beer stronger than its wort
    CHECK_THROWS_AS((void)alcohol_by_volume(Plato(40.0), Plato(12.0)), Error);
}

TEST_CASE("the forecast's slopes") {
    const double h = 1e-6;
    const auto abv = alcohol_by_volume_pct(Dual<2>::parameter(12.0, 0), Dual<2>::parameter(2.5, 1));
    CHECK(abv.slope[0] ==
          near((alcohol_by_volume_pct(12.0 + h, 2.5) - alcohol_by_volume_pct(12.0 - h, 2.5)) / (2 * h), 1e-7));
    CHECK(abv.slope[1] < 0.0);
    const auto colour = morey_ebc(Dual<1>::parameter(20.0, 0));
    CHECK(colour.slope[0] == near(0.6859 * colour.value / 20.0, 1e-12));
    CHECK(morey_ebc(Dual<1>::parameter(0.0, 0)).value == 0.0);
    const auto u = tinseth_utilisation(Dual<1>::parameter(1.05, 0), 60.0);
    CHECK(u.slope[0] == near(std::log(0.000125) * u.value, 1e-12));
}

TEST_CASE("colour and hops backwards") {
    CHECK(colour_units_for(beer_colour(MaltColourUnits(17.0))).value() == near(17.0, 1e-12));
    CHECK(malt_ebc(malt_lovibond(Ebc(120.0))).value() == near(120.0, 1e-12));
    const Grams hops = hops_for(BitternessUnits(30.0), Percent(5.0), 0.23, Litres(20.0));
    CHECK(bitterness(hops, Percent(5.0), 0.23, Litres(20.0)).value() == near(30.0, 1e-12));
    CHECK_THROWS_AS((void)hops_for(BitternessUnits(30.0), Percent(0.0), 0.23, Litres(20.0)), Error);
    CHECK_THROWS_AS((void)utilisation(SpecificGravity(1.05), Minutes(-1.0)), Error);
    CHECK_THROWS_AS((void)malt_colour_units(Kilograms(1.0), Lovibond(3.0), Litres(0.0)), Error);
}
