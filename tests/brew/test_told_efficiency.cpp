// The one number every brewer knows.
#include "../monte_carlo.hpp"
#include "first_brews.hpp"
#include "near.hpp"
#include "small_store.hpp"
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
    return malt_figures(item("pale ale malt", ItemKind::malt, "base"));
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
    b.efficiency_sd = Percent(0.4);
    const Kit both = kit_of(b);
    CHECK(100.0 * efficiency_expected(both).kettle == near(90.0, 0.0, 1.0));
    CHECK(100.0 * efficiency_expected(both).fermenter == near(72.0, 0.0, 1.0));
    CHECK(both.kettle_loss_l > transfer_alone); // what was in the kettle and is not in the fermenter stayed behind
}

TEST_CASE("what the brewer states otherwise stands as he stated it") {
    Brewhouse b = telling(60.0);
    b.conversion = Percent(92.0);
    b.kettle_loss = Litres(1.15);
    const Kit told = kit_of(b), untold = kit_of(without_told_efficiency(b));
    CHECK(told.conversion == near(0.92, 1e-12));
    CHECK(told.kettle_loss_l == near(1.15, 1e-12));
    CHECK(told.conversion_sd == near(untold.conversion_sd, 1e-9));
    CHECK(told.boil_off_l_per_h < untold.boil_off_l_per_h); // the others make up for it
    // a scatter that is stated is the widest that there is
    Brewhouse scattering = telling(60.0);
    scattering.conversion_sd = Percent(3.0);
    CHECK(kit_of(scattering).conversion_sd <= 0.03);
}

TEST_CASE("the estimate is the likeliest house, with the variance of what nobody stated doubled") {
    // conversion and kettle loss alone are open: a grid finds the best pair
    Brewhouse b = telling(66.0);
    b.efficiency_sd = Percent(2.0);
    b.lauter_of_expected = Percent(100.0);
    b.lauter_level_sd = Percent(0.0);
    b.boil_off = LitresPerHour(3.2);
    b.boil_off_level_sd = LitresPerHour(0.0);
    b.absorption = LitresPerKilogram(1.0);
    b.absorption_level_sd = LitresPerKilogram(0.0);
    const Kit untold = kit_of(without_told_efficiency(b)), told = kit_of(b);
    const double conversion_sd = untold.conversion_level_sd / untold.conversion,
                 loss_sd = untold.kettle_loss_level_sd_l;
    const auto misfit = [&](double ln_conversion, double loss) {
        Kit at = untold;
        at.conversion = std::exp(ln_conversion);
        at.kettle_loss_l = loss;
        const double seen = (std::log(efficiency_expected(at).fermenter) - std::log(0.66)) / (2.0 / 66.0);
        const double c = (ln_conversion - std::log(untold.conversion)) / conversion_sd,
                     l = (loss - untold.kettle_loss_l) / loss_sd;
        return seen * seen + (c * c + l * l) / 2.0;
    };
    double best_conversion = std::log(0.85), best_loss = 1.5;
    for (double step = 0.02; step > 1e-5; step /= 4.0) { // a litre of loss moves as little as a tenth of conversion
        const double from_conversion = best_conversion, from_loss = best_loss;
        double best = misfit(best_conversion, best_loss);
        for (int i = -8; i <= 8; ++i)
            for (int j = -8; j <= 8; ++j) {
                const double c = from_conversion + i * step, l = from_loss + 10.0 * j * step;
                if (const double m = misfit(c, l); m < best) {
                    best = m;
                    best_conversion = c;
                    best_loss = l;
                }
            }
    }
    CHECK(std::log(told.conversion) == near(best_conversion, 0.0, 1e-3));
    CHECK(told.kettle_loss_l == near(best_loss, 0.0, 1e-2));
}

TEST_CASE("the levels' covariance is that of the estimates' errors over many houses") {
    Normal normal(5);
    const Brewhouse plain = without_told_efficiency(telling(72.0));
    const Kit typical = kit_of(plain);
    constexpr int houses = 300;
    Kit::Levels errors{};
    for (int n = 0; n < houses; ++n) {
        Kit house = typical;
        house.conversion += typical.conversion_level_sd * normal();
        house.lauter_of_expected += typical.lauter_level_sd * normal();
        house.boil_off_l_per_h += typical.boil_off_level_sd_l_per_h * normal();
        house.absorption_l_per_kg += typical.absorption_level_sd_l_per_kg * normal();
        house.kettle_loss_l += typical.kettle_loss_level_sd_l * normal();
        Brewhouse b = plain;
        b.efficiency_fermenter = Percent(100.0 * efficiency_expected(house).fermenter + 3.0 * normal());
        const Kit kit = kit_of(b);
        const std::array<double, 5> error{
            kit.conversion - house.conversion, kit.lauter_of_expected - house.lauter_of_expected,
            kit.boil_off_l_per_h - house.boil_off_l_per_h, kit.absorption_l_per_kg - house.absorption_l_per_kg,
            kit.kettle_loss_l - house.kettle_loss_l};
        for (std::size_t i = 0; i < error.size(); ++i)
            for (std::size_t j = 0; j < error.size(); ++j) errors[i][j] += error[i] * error[j] / houses;
    }
    const Kit kit = kit_of(telling(100.0 * efficiency_expected(typical).fermenter));
    REQUIRE(kit.level_covariance);
    const auto& c = *kit.level_covariance;
    for (std::size_t i = 0; i < c.size(); ++i)
        for (std::size_t j = 0; j < c.size(); ++j) {
            CAPTURE(i);
            CAPTURE(j);
            CHECK(errors[i][j] == near(c[i][j], 0.0, 0.15 * std::sqrt(c[i][i] * c[j][j])));
        }
    CHECK(c[0][4] > 0.2 * std::sqrt(c[0][0] * c[4][4])); // a better mash, and more left in the kettle
    CHECK(c[0][0] == near(kit.conversion_level_sd * kit.conversion_level_sd));
}

TEST_CASE("being told an efficiency never makes the forecast less sure, and told of 30 points it says nothing") {
    Recipe recipe;
    recipe.name = "ale";
    recipe.volume = Litres(23.0);
    recipe.original_gravity = SpecificGravity(1.048);
    recipe.grist = {{"pale ale malt", Percent(100.0), std::nullopt}};
    const MaltFigures figures = pale();
    const auto sd_of = [&](const Brewhouse& b) {
        const Kit kit = kit_of(b);
        const Kilograms mass = grist_masses(recipe, recipe.volume, kit, {figures}).front();
        return forecast(recipe, recipe.volume, kit, {{"pale ale malt", mass, figures}}, {}, Kilograms(0.0))
            .original_gravity_sg.sd;
    };
    Brewhouse b = telling(72.0);
    const Kit typical = kit_of(without_told_efficiency(b));
    const double untold = sd_of(without_told_efficiency(b));
    for (const double told : {55.0, 60.0, 66.0, 72.0, 78.0, 84.0, 90.0})
        for (const double sd : {0.3, 1.0, 3.0, 10.0, 30.0}) {
            CAPTURE(told);
            CAPTURE(sd);
            b.efficiency_fermenter = Percent(told);
            b.efficiency_sd = Percent(sd);
            CHECK(sd_of(b) <= 1.0005 * untold); // the mean that is moved bends the slopes by so much
            if (sd < 30.0) continue;
            CHECK(sd_of(b) == near(untold, 0.005));
            CHECK(efficiency_expected(kit_of(b)).fermenter == near(efficiency_expected(typical).fermenter, 0.0, 0.005));
        }
}

TEST_CASE("no more dissolves than the malt holds, and no more runs off than was dissolved, whatever is told") {
    for (const auto sparge : {Sparge::none, Sparge::batch, Sparge::continuous})
        for (const double told : {20.0, 45.0, 96.0, 100.0})
            for (const double sd : {0.1, 3.0}) {
                CAPTURE(told);
                CAPTURE(sd);
                Brewhouse b = telling(told);
                b.efficiency_kettle = Percent(told);
                b.efficiency_sd = Percent(sd);
                b.sparge = sparge;
                const Kit typical = kit_of(without_told_efficiency(b)), kit = kit_of(b);
                CHECK(kit.conversion <= 1.0);
                CHECK(efficiency_expected(kit).kettle <= 1.001 * kit.conversion);
                CHECK(kit.boil_off_l_per_h >= 0.2 * typical.boil_off_l_per_h);
                CHECK(kit.kettle_loss_l >= 0.2 * typical.kettle_loss_l);
            }
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
    const auto r = forecast_first_brews(200, 1.0, 3.0, 7);
    CHECK(r.with.efficiency_rms < 0.95 * r.without.efficiency_rms);
    CHECK(r.with.gravity_rms < r.without.gravity_rms);
    CHECK(r.with.gravity_held > 0.85);
    CHECK(r.with.gravity_held < 0.97);
    CHECK(r.with.volume_held > 0.85);
}

TEST_CASE("houses lie further off than typical: it is then worth more, and its interval is no worse than without it") {
    const auto r = forecast_first_brews(100, 2.0, 3.0, 7);
    CHECK(r.with.efficiency_rms < 0.75 * r.without.efficiency_rms);
    CHECK(r.with.gravity_rms < r.without.gravity_rms);
    CHECK(r.with.gravity_held > r.without.gravity_held);
}
