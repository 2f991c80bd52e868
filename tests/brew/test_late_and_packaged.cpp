// What is given late and what goes into bottles, by hand.
#include "near.hpp"
#include "small_store.hpp"
#include <doctest/doctest.h>
#include <lotwort/brew/late_extract.hpp>
#include <lotwort/brew/packaged_beer.hpp>
#include <lotwort/brew/recipe_gravity.hpp>
#include <lotwort/wort/carbonation.hpp>
#include <lotwort/wort/gravity.hpp>

using namespace lotwort;
using namespace lotwort::test;

TEST_CASE("of two kilograms of honey four fifths are extract, of that yeast takes 95 %, and the rest is water") {
    wort::LateExtract late;
    add_late(late, item("blossom honey", ItemKind::sugar), 2.0, 0.8);
    CHECK(late.extract_kg == near(1.6));
    CHECK(late.fermentable_kg == near(1.52));
    CHECK(late.water_kg == near(0.4));
}

TEST_CASE("priming sugar is spread over all bottles, and its alcohol is on the label") {
    Package run;
    run.count = 48;
    run.each = Litres(0.5);
    const PackagedBeer beer = packaged_beer(run, 5.0, 120.0); // 24 L
    CHECK(beer.priming_g_per_l == near(5.0));
    CHECK(beer.abv_pct == near(5.0 + wort::alcohol_of_priming(5.0).value()));
    CHECK(wort::alcohol_of_priming(5.0).value() == near(0.32, 0.1)); // a gram gives half a gram of alcohol, 0.79 kg/L
}

TEST_CASE("a gravity's doubt in degrees Plato goes by the scale's slope: two points are half a degree") {
    const Estimate plato = in_plato({1.048, 0.002, 1.045, 1.051});
    const double slope =
        (wort::plato(SpecificGravity(1.049)).value() - wort::plato(SpecificGravity(1.047)).value()) / 0.002;
    CHECK(plato.sd == near(0.002 * slope, 1e-3));
    CHECK(plato.sd == near(0.48, 0.02));
}
