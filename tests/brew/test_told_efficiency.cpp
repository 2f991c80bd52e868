// The one number every brewer knows.
#include "first_brews.hpp"
#include "near.hpp"
#include <doctest/doctest.h>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/brew/rules.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Brewhouse telling(double percent) {
    Brewhouse b;
    b.name = "shed";
    b.volume = Litres(23.0);
    b.efficiency_fermenter = Percent(percent);
    return b;
}

MaltFigures pale() {
    Item malt;
    malt.name = "pale ale malt";
    malt.kind = ItemKind::malt;
    malt.malt_class = "base";
    return malt_figures(malt);
}

} // namespace

TEST_CASE("an efficiency that is told is met, nearer the better it is known") {
    for (const double told : {60.0, 68.0, 72.0, 80.0}) {
        Brewhouse b = telling(told);
        const double untold = 100.0 * efficiency_expected(kit_of(without_told_efficiency(b))).fermenter;
        const double usual = 100.0 * efficiency_expected(kit_of(b)).fermenter;
        b.efficiency_sd = Percent(0.1);
        const double surely = 100.0 * efficiency_expected(kit_of(b)).fermenter;
        CAPTURE(told);
        CHECK(std::abs(usual - told) < 0.5 * std::abs(untold - told));
        CHECK(std::abs(surely - told) < 0.05);
    }
}

TEST_CASE("it is of the kettle where that is told, and of both where both are") {
    Brewhouse b = telling(72.0);
    const double transfer_alone = kit_of(b).kettle_loss_l;
    b.efficiency_kettle = Percent(90.0);
    b.efficiency_sd = Percent(0.5);
    const Kit both = kit_of(b);
    CHECK(100.0 * efficiency_expected(both).kettle == near(90.0, 0.0, 1.0));
    CHECK(100.0 * efficiency_expected(both).fermenter == near(72.0, 0.0, 1.0));
    CHECK(both.kettle_loss_l > transfer_alone); // what was in the kettle and is not in the fermenter stayed behind
}

TEST_CASE("what the brewer states otherwise is hardly moved by it") {
    Brewhouse b = telling(60.0);
    const double moved = std::abs(kit_of(b).kettle_loss_l - kit_of(without_told_efficiency(b)).kettle_loss_l);
    b.kettle_loss = Litres(1.15);
    b.kettle_loss_sd = Litres(0.1);
    CHECK(std::abs(kit_of(b).kettle_loss_l - 1.15) < 0.05 * moved);
}

TEST_CASE("the levels are told together: the whole is known better than its parts") {
    const Kit kit = kit_of(telling(72.0));
    REQUIRE(kit.level_covariance);
    const auto& c = *kit.level_covariance;
    for (std::size_t i = 0; i < c.size(); ++i)
        for (std::size_t j = 0; j < c.size(); ++j) {
            CHECK(c[i][j] == near(c[j][i], 0.0, 1e-12));
            CHECK(c[i][j] * c[i][j] <= c[i][i] * c[j][j] * (1.0 + 1e-9));
        }
    CHECK(c[0][1] < 0.0); // a better mash means a worse lauter
    CHECK(c[0][4] > 0.0); // and more left in the kettle
    CHECK(c[0][0] == near(kit.conversion_level_sd * kit.conversion_level_sd));
}

TEST_CASE("masses written for another house's efficiency bring the same extract here") {
    Recipe recipe;
    recipe.name = "theirs";
    recipe.volume = Litres(20.0);
    recipe.grist = {{"pale ale malt", std::nullopt, Kilograms(4.0)}};
    recipe.efficiency_fermenter = Percent(60.0);
    const MaltFigures figures = pale();
    for (const double here : {65.0, 75.0}) {
        Brewhouse b = telling(here);
        b.volume = recipe.volume;
        const Kit kit = kit_of(b);
        const Kilograms mass = grist_masses(recipe, recipe.volume, kit, {figures}).front();
        const Forecast f = forecast(recipe, recipe.volume, kit, {{"pale ale malt", mass, figures}}, {}, Kilograms(0.0));
        CHECK(f.brewhouse_efficiency * f.extract_grist_kg == near(0.60 * 4.0 * figures.extract_as_is.value, 1e-6));
        CHECK(mass < Kilograms(4.0));
    }
}

TEST_CASE("rules of what is told") {
    std::string told;
    const TellBroken tell = [&](std::string_view field, std::string_view what) {
        told += std::string(field) + ": " + std::string(what) + "\n";
    };
    Brewhouse b = telling(72.0);
    b.efficiency_kettle = Percent(70.0);
    check_rules(b, tell);
    CHECK(told == "efficiency_fermenter_pct: 72 % is more than the 70 % that were in the kettle\n");
    told.clear();
    Brewhouse alone = without_told_efficiency(b);
    alone.efficiency_sd = Percent(2.0);
    check_rules(alone, tell);
    CHECK(told == "efficiency_sd_pct: belongs to efficiency_fermenter_pct or efficiency_kettle_pct\n");
}

TEST_CASE("a first brew is forecast better with it, and the interval still holds nine in ten") {
    const auto r = forecast_first_brews(400, 2.0, 3.0, 7);
    CHECK(r.with.efficiency_rms < 0.85 * r.without.efficiency_rms);
    CHECK(r.with.gravity_rms < r.without.gravity_rms);
    CHECK(r.with.gravity_held > 0.85);
    CHECK(r.with.gravity_held < 0.97);
    CHECK(r.with.volume_held > 0.85);
    CHECK(r.without.gravity_held < r.with.gravity_held);
}
