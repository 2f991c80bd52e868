// A forecast's figures on a brewhouse that errs in nothing: what is left of each interval is one cause's, by hand.
#include "near.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/core/error.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Kit sure_kit() {
    Kit k;
    k.volume_l = 23.0;
    k.mash_ratio_l_per_kg = 3.0;
    k.absorption_l_per_kg = 1.0;
    k.hop_absorption_l_per_kg = 6.0;
    k.tun_loss_l = 0.7;
    k.boil_off_l_per_h = 3.2;
    k.kettle_loss_l = 1.2;
    k.conversion = 0.92;
    k.boiling_c = wort::boiling_point().value();
    return k;
}

// Nothing that brews taught is in doubt, nor does a brew scatter.
Learned sure() {
    Learned l;
    l.brews = 30;
    l.mean = {std::log(0.92), 0.0, 3.2, 1.0, 1.2};
    l.covariance.assign(25, 0.0);
    l.attenuation[""] = {0.0, 0.0, 30};
    return l;
}

Recipe boiled(double minutes) {
    Recipe recipe;
    recipe.name = "pale ale";
    recipe.volume = Litres(23.0);
    recipe.boil = Minutes(minutes);
    recipe.attenuation = Percent(75.0);
    return recipe;
}

PlannedMalt malt(const char* lot, double kg, double ebc = 5.0, double ebc_sd = 0.0) {
    MaltFigures figures;
    figures.extract_as_is = {0.8, 0.0, Origin::certificate};
    figures.extract_fine_dry_pct = {83.333, 0.0, Origin::certificate};
    figures.moisture_pct = {4.0, 0.0, Origin::certificate};
    figures.colour_ebc = {ebc, ebc_sd, Origin::certificate};
    return {lot, Kilograms(kg), figures};
}

PlannedHop hop(Stage stage, double minutes, double grams, double alpha_sd = 0.0,
               std::optional<Celsius> at = std::nullopt) {
    return {"bittering hop", stage, Minutes(minutes), Grams(grams), Figure{10.0, alpha_sd, Origin::certificate}, at};
}

Forecast of(const std::vector<PlannedMalt>& malts, const std::vector<PlannedHop>& hops, const Learned& learned = sure(),
            double minutes = 60.0) {
    return forecast(boiled(minutes), Litres(23.0), sure_kit(), malts, hops, Kilograms(0.0), &learned);
}

} // namespace

TEST_CASE("hops in the kettle hold wort back, six litres a kilogram; what is dry-hopped holds none there") {
    const std::vector<PlannedMalt> malts{malt("A", 5.0)};
    const auto stated = [&](const std::vector<PlannedHop>& hops) {
        return forecast(boiled(60.0), Litres(23.0), sure_kit(), malts, hops, Kilograms(0.0)).means.kettle_loss_l;
    };
    CHECK(stated({}) == near(1.2));
    CHECK(stated({hop(Stage::boil, 60.0, 50.0), hop(Stage::stand, 20.0, 50.0)}) == near(1.8)); // 100 g
    CHECK(stated({hop(Stage::dry, 0.0, 100.0)}) == near(1.2));
    CHECK(stated({hop(Stage::fermenter, 0.0, 100.0)}) == near(1.2));
}

TEST_CASE("what is boiled off goes with the boil, and the tun keeps its own beside the grain's") {
    const std::vector<PlannedMalt> malts{malt("A", 5.0)};
    const Forecast f = forecast(boiled(90.0), Litres(23.0), sure_kit(), malts, {}, Kilograms(0.0));
    CHECK(f.means.boil_off_l == near(4.8)); // 1.5 h at 3.2 L/h
    CHECK(f.means.retained_l == near(5.7)); // 5 kg at 1 L/kg, and 0.7 L
    CHECK(f.volume_l.value == near(23.0, 1e-6));
}

TEST_CASE("colour goes by the units to the power 0.6859, and so does its doubt") {
    // A malt's units are in proportion to its Lovibond, (EBC/1.97 + 0.76)/1.3546: to EBC + 1.4972.
    const Forecast f = of({malt("A", 4.0, 5.0, 0.6), malt("B", 0.5, 120.0, 12.0)}, {});
    const double units = 4.0 * (5.0 + 1.4972) + 0.5 * (120.0 + 1.4972), sd = std::hypot(4.0 * 0.6, 0.5 * 12.0);
    CHECK(f.colour_ebc.sd / f.colour_ebc.value == near(0.6859 * sd / units, 1e-4));
}

TEST_CASE("bitterness is known by the ratio that was measured and by the alpha, which one hop's lines share") {
    Learned l = sure();
    l.bitterness_ratio = 0.8;
    l.bitterness_ratio_sd = 0.08; // a tenth of it
    const Estimate exact = of({malt("A", 5.0)}, {hop(Stage::boil, 60.0, 30.0)}, l).bitterness_ibu;
    CHECK(exact.sd / exact.value == near(0.1));
    const Estimate two =
        of({malt("A", 5.0)}, {hop(Stage::boil, 60.0, 20.0, 0.5), hop(Stage::boil, 30.0, 15.0, 0.5)}, l).bitterness_ibu;
    CHECK(two.sd / two.value == near(std::hypot(0.1, 0.05))); // 0.5 of 10 %, in both alike
}

TEST_CASE("what a stand is worth is uncertain by the slope of the utilisation there") {
    Learned l = sure();
    l.bitterness_ratio = 1.0;
    l.bitterness_ratio_sd = 0.0;
    const Estimate stood = of({malt("A", 5.0)}, {hop(Stage::stand, 30.0, 30.0, 0.0, Celsius(80.0))}, l).bitterness_ibu;
    const auto worth = hop_minutes(Stage::stand, Minutes(30.0), Celsius(80.0), wort::boiling_point(),
                                   {{Minutes(30.0), Celsius(80.0)}});
    const double t = worth.minutes.value(), left = std::exp(-0.04 * t); // U goes as 1 - exp(-0.04 t)
    CHECK(stood.sd / stood.value == near(0.04 * left / (1.0 - left) * worth.sd.value(), 1e-4));
}

TEST_CASE("a stand's minutes err by the kinetics and by the thermometer: 9.5 % a degree at 80 C") {
    const auto stood = hop_minutes(Stage::stand, Minutes(30.0), Celsius(80.0), wort::boiling_point());
    const auto by_kinetics = wort::equivalent_boil(Minutes(30.0), Celsius(80.0), wort::boiling_point());
    // k goes as exp(-11858/T): 11858/353.15^2 a kelvin, and a stand is known to 2
    const double by_temperature = stood.minutes.value() * 11858.0 / (353.15 * 353.15) * 2.0;
    CHECK(stood.minutes.value() == near(by_kinetics.minutes.value()));
    CHECK(stood.sd.value() == near(std::hypot(by_kinetics.sd.value(), by_temperature), 1e-4));
}

TEST_CASE("one thermometer errs alike in every stand: what is boiled and stood twice errs by the sum") {
    const Stand hot{Minutes(15.0), Celsius(90.0)}, warm{Minutes(20.0), Celsius(75.0)};
    const auto sd = [](const Stand& stand) {
        return hop_minutes(Stage::stand, stand.minutes, stand.temperature, wort::boiling_point()).sd.value();
    };
    const auto both = hop_minutes(Stage::boil, Minutes(60.0), {}, wort::boiling_point(), {hot, warm});
    CHECK(both.sd.value() == near(sd(hot) + sd(warm), 1e-9));
}

TEST_CASE("alcohol is known no better than the rules for it agree: two per cent of it") {
    const Forecast f = of({malt("A", 5.0)}, {});
    CHECK(f.alcohol_abv_pct.sd == near(0.02 * f.alcohol_abv_pct.value));
}

TEST_CASE("bottled litres scatter about their share of the fermenter's") {
    Learned l = sure();
    l.packaged_share = 0.95;
    l.packaged_share_sd = 0.02;
    const Forecast f = of({malt("A", 5.0)}, {}, l);
    REQUIRE(f.packaged_l);
    CHECK(f.packaged_l->value == near(0.95 * 23.0, 1e-4));
    CHECK(f.packaged_l->sd == near(0.02 * 23.0, 1e-4));
}

TEST_CASE("of a malt that gives two per cent more, the sheet has the house's conversion and the malt's part apart") {
    Learned l = sure();
    l.malts = {"A"};
    l.mean.push_back(0.02);
    l.covariance.assign(36, 0.0);
    const Forecast f = of({malt("A", 5.0)}, {}, l);
    CHECK(f.means.conversion == near(0.92));
    CHECK(f.means.malt_factor == near(std::exp(0.02)));
}

TEST_CASE("a lot weighed in two lines is one lot") {
    const Forecast two = of({malt("A", 2.0), malt("A", 3.0)}, {}), one = of({malt("A", 5.0)}, {});
    CHECK(two.extract_grist_kg == near(4.0));
    CHECK(two.original_gravity_sg.value == near(one.original_gravity_sg.value, 1e-12));
}

TEST_CASE("shares that do not come to a hundred are refused, but for what rounding leaves") {
    const auto masses = [](double share) {
        Recipe recipe = boiled(60.0);
        recipe.original_gravity = SpecificGravity(1.048);
        recipe.grist = {{"A", Percent(share), {}}};
        return grist_masses(recipe, Litres(23.0), sure_kit(), {malt("A", 0.0).figures});
    };
    CHECK_NOTHROW((void)masses(99.6));
    CHECK_THROWS_AS((void)masses(99.0), Error);
    CHECK_THROWS_AS((void)masses(101.0), Error);
}

TEST_CASE("masses written for 80 % in the kettle bring 80 % of their extract into it here, or into the fermenter") {
    Recipe recipe = boiled(60.0);
    recipe.grist = {{"A", {}, Kilograms(5.0)}};
    const auto brewed = [&] {
        const auto masses = grist_masses(recipe, Litres(23.0), sure_kit(), {malt("A", 0.0).figures});
        return forecast(recipe, Litres(23.0), sure_kit(), {malt("A", masses[0].value())}, {}, Kilograms(0.0));
    };
    recipe.efficiency_fermenter = Percent(80.0);
    const Forecast into_fermenter = brewed();
    CHECK(into_fermenter.brewhouse_efficiency * into_fermenter.extract_grist_kg == near(3.2)); // 80 % of 4 kg
    recipe.efficiency_fermenter.reset();
    recipe.efficiency_kettle = Percent(80.0);
    const Forecast into_kettle = brewed();
    const double left = 1.0 - into_kettle.means.kettle_loss_l / into_kettle.cast_out_l; // of the cast-out
    CHECK(into_kettle.brewhouse_efficiency * into_kettle.extract_grist_kg / left == near(3.2));
}
