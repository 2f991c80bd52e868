// What a forecast rests on: the means and the scatter of each figure, stated and learned, by hand.
#include "forecast_spread.hpp"
#include "near.hpp"
#include <array>
#include <cmath>
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::forecast_detail;
using lotwort::test::near;

namespace {

Recipe boiled(double minutes) {
    Recipe recipe;
    recipe.boil = Minutes(minutes);
    return recipe;
}

// 5 kg of malt with 4 kg of extract: 3 kg of a lot that brews taught something of, 2 kg of one never brewed with.
Course five_kilograms() {
    Course c;
    c.grist.mass_kg = 5.0;
    c.grist.extract_kg = 4.0;
    c.kettle_loss_l = 1.6; // 1 L of the kettle's, 0.6 of the hops'
    return c;
}

std::vector<PlannedMalt> two_malts() {
    MaltFigures figures;
    figures.extract_as_is = {0.8, 0.01, Origin::certificate};
    return {{"KNOWN", Kilograms(3.0), figures}, {"NEW", Kilograms(2.0), figures}};
}

Kit kit() {
    Kit k;
    k.tun_loss_l = 0.5;
    k.kettle_loss_l = 1.0;
    k.absorption_sd_l_per_kg = 0.15;
    k.boil_off_sd_l_per_h = 0.6;
    return k;
}

Learned taught() {
    Learned l;
    l.malts = {"KNOWN"};
    l.mean = {std::log(0.9), std::log(1.02), 3.0, 1.1, 1.4, 0.02};
    l.covariance.assign(36, 0.0);
    const std::array<double, 6> sd{0.010, 0.020, 0.1, 0.05, 0.2, 0.015};
    for (std::size_t i = 0; i < 6; ++i) l.covariance[i * 6 + i] = sd[i] * sd[i];
    l.covariance[5] = l.covariance[30] = -0.00009; // house and malt are known by their sum
    const std::array<double, 5> scatter{0.012, 0.008, 0.3, 0.06, 0.1};
    for (std::size_t i = 0; i < 5; ++i) l.scatter[i] = scatter[i];
    return l;
}

} // namespace

TEST_CASE("a boil is as long as the recipe says, an hour unless it does") {
    CHECK(boil_hours(boiled(90.0)) == near(1.5));
    CHECK(boil_hours(Recipe{}) == near(1.0));
}

TEST_CASE("what the grain holds is as doubtful as there is grain, and what is boiled off as the boil is long") {
    const Spread s = stated_spread(boiled(90.0), kit(), five_kilograms());
    CHECK(s.covariance[retained][retained] == near(0.75 * 0.75)); // 5 kg at 0.15 L/kg
    CHECK(s.covariance[boil_off][boil_off] == near(0.9 * 0.9));   // 1.5 h at 0.6 L/h
}

TEST_CASE("learned means go with the boil and the grain, and tun and hops keep their own losses") {
    const Spread s = learned_spread(boiled(90.0), kit(), five_kilograms(), two_malts(), taught());
    CHECK(s.mean[boil_off] == near(4.5));    // 1.5 h at 3 L/h
    CHECK(s.mean[retained] == near(6.0));    // 5 kg at 1.1 L/kg, and 0.5 L under the false bottom
    CHECK(s.mean[kettle_loss] == near(2.0)); // 1.4 L, and the hops' 0.6
    CHECK(s.mean[lauter] == near(1.02));
}

TEST_CASE("a malt counts by its share of the extract, and a brew scatters about what is known of its house") {
    const Spread s = learned_spread(boiled(60.0), kit(), five_kilograms(), two_malts(), taught());
    const double share = 3.0 * 0.8 / 4.0, mean = 0.9 * std::exp(share * 0.02);
    CHECK(s.ln_malts == near(share * 0.02));
    CHECK(s.mean[conversion] == near(mean));
    const double ln_variance = 0.012 * 0.012 + 0.010 * 0.010 + 2.0 * share * -0.00009 + share * share * 0.015 * 0.015;
    CHECK(s.covariance[conversion][conversion] == near(mean * mean * ln_variance));
    CHECK(s.covariance[extract][extract] == near(0.02 * 0.02)); // 2 kg of the new one at 0.01
    CHECK(s.covariance[kettle_loss][kettle_loss] == near(0.2 * 0.2 + 0.1 * 0.1));
}

TEST_CASE("a degree more of rest counts from the rest that brews taught, and the farther the less surely") {
    Recipe recipe = boiled(60.0);
    recipe.mash_rest = Celsius(68.0);
    recipe.attenuation = Percent(75.0);
    recipe.others.emplace_back().item = "ale yeast";
    Learned l = taught();
    l.rest_reference_c = 66.0;
    l.rest_slope_per_c = -0.005;
    l.attenuation["ale yeast"] = {0.03, 0.03, 4};
    l.attenuation_slope_per_c = -0.01;
    l.attenuation_slope_sd_per_c = 0.02;
    const Spread s = learned_spread(recipe, kit(), five_kilograms(), two_malts(), l);
    CHECK(s.mean[conversion] == near(0.9 * std::exp(0.6 * 0.02 - 0.01)));
    CHECK(s.mean[attenuation] == near(0.76));                                         // 0.75 + 0.03 - 0.02
    CHECK(s.covariance[attenuation][attenuation] == near(0.03 * 0.03 + 0.04 * 0.04)); // 2 degrees at 0.02
}
