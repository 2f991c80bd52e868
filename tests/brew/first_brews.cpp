#include "first_brews.hpp"
#include "../monte_carlo.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/brew/liquor.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort::test {

namespace {

struct Levels {
    double conversion, lauter, boil_off, absorption, kettle_loss;
};

Levels drawn_about(const Levels& middle, const Levels& sd, double times, Normal& normal) {
    return {std::clamp(middle.conversion + times * sd.conversion * normal(), 0.3, 1.0),
            middle.lauter + times * sd.lauter * normal(),
            std::max(middle.boil_off + times * sd.boil_off * normal(), 0.1),
            std::max(middle.absorption + times * sd.absorption * normal(), 0.1),
            std::max(middle.kettle_loss + times * sd.kettle_loss * normal(), 0.0)};
}

Kit at(Kit kit, const Levels& levels) {
    kit.conversion = levels.conversion;
    kit.lauter_of_expected = levels.lauter;
    kit.boil_off_l_per_h = levels.boil_off;
    kit.absorption_l_per_kg = levels.absorption;
    kit.kettle_loss_l = levels.kettle_loss;
    return kit;
}

class Tally {
public:
    void add(const Forecast& f, double gravity, double volume_l, double efficiency) {
        ++of_.brews;
        of_.gravity_rms += std::pow(f.original_gravity_sg.value - gravity, 2);
        of_.volume_rms_l += std::pow(f.volume_l.value - volume_l, 2);
        of_.efficiency_rms += std::pow(100.0 * (f.brewhouse_efficiency - efficiency), 2);
        of_.gravity_held += f.original_gravity_sg.low <= gravity && gravity <= f.original_gravity_sg.high;
        of_.volume_held += f.volume_l.low <= volume_l && volume_l <= f.volume_l.high;
    }
    [[nodiscard]] FirstBrews result() const {
        FirstBrews r = of_;
        r.gravity_rms = std::sqrt(r.gravity_rms / r.brews);
        r.volume_rms_l = std::sqrt(r.volume_rms_l / r.brews);
        r.efficiency_rms = std::sqrt(r.efficiency_rms / r.brews);
        r.gravity_held /= r.brews;
        r.volume_held /= r.brews;
        return r;
    }

private:
    FirstBrews of_;
};

} // namespace

WithAndWithout forecast_first_brews(int houses, double wide, double told_sd, unsigned long long seed) {
    Normal normal(seed);
    Brewhouse plain;
    plain.name = "house";
    plain.volume = Litres(23.0);
    const Kit typical = kit_of(plain);
    const Levels middle{typical.conversion, typical.lauter_of_expected, typical.boil_off_l_per_h,
                        typical.absorption_l_per_kg, typical.kettle_loss_l};
    const Levels level_sd{typical.conversion_level_sd, typical.lauter_level_sd, typical.boil_off_level_sd_l_per_h,
                          typical.absorption_level_sd_l_per_kg, typical.kettle_loss_level_sd_l};
    const auto own = [](double all, double level) { return std::sqrt(all * all - level * level); };
    const Levels own_sd{own(typical.conversion_sd, level_sd.conversion), own(typical.lauter_sd, level_sd.lauter),
                        own(typical.boil_off_sd_l_per_h, level_sd.boil_off),
                        own(typical.absorption_sd_l_per_kg, level_sd.absorption),
                        own(typical.kettle_loss_sd_l, level_sd.kettle_loss)};
    Item malt;
    malt.name = "pale ale malt";
    malt.kind = ItemKind::malt;
    malt.malt_class = "base";
    const MaltFigures figures = malt_figures(malt);
    Recipe recipe;
    recipe.name = "first";
    recipe.volume = plain.volume;
    recipe.original_gravity = SpecificGravity(1.048);
    recipe.boil = Minutes(60.0);
    recipe.grist = {{malt.name, Percent(100.0), std::nullopt}};

    Tally with, without;
    for (int i = 0; i < houses; ++i) {
        const Levels house = drawn_about(middle, level_sd, wide, normal);
        const Levels brew = drawn_about(house, own_sd, 1.0, normal);
        const double extract = figures.extract_as_is.value + figures.extract_as_is.sd * normal();
        Brewhouse told = plain;
        told.efficiency_fermenter = Percent(
            std::clamp(100.0 * efficiency_expected(at(typical, house)).fermenter + told_sd * normal(), 20.0, 100.0));
        told.efficiency_sd = Percent(told_sd);
        for (const auto& [stated, tally] : {std::pair(&told, &with), {&plain, &without}}) {
            const Kit kit = kit_of(*stated);
            const Kilograms mass = grist_masses(recipe, recipe.volume, kit, {figures}).front();
            const Forecast f = forecast(recipe, recipe.volume, kit, {{malt.name, mass, figures}}, {}, Kilograms(0.0));
            BrewFacts facts;
            facts.grist_moisture_kg = f.means.moisture_kg;
            facts.grist_dry_kg = mass.value() - f.means.moisture_kg;
            facts.wash_stages = kit.wash_stages;
            const auto state = expected_state<double>(
                mass.value() * extract, brew.conversion, brew.lauter, f.strike_liquor_l, f.sparge_liquor_l,
                brew.absorption * mass.value() + kit.tun_loss_l, brew.boil_off, brew.kettle_loss, facts);
            const auto b = balance(state, facts);
            tally->add(f, wort::specific_gravity_of(b.fermenter_fraction), b.fermenter_l,
                       b.extract_fermenter_kg / f.extract_grist_kg);
        }
    }
    return {with.result(), without.result()};
}

} // namespace lotwort::test
