#include "told_efficiency.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <lotwort/brew/liquor.hpp>

namespace lotwort {

namespace {

constexpr std::size_t levels = 5; // conversion, lauter, boil-off, absorption, kettle loss
using Levels = std::array<double, levels>;
enum class Into { kettle, fermenter };

// The mean brew: wort of 12 °P, boiled an hour, of malts that give 76 % as they are and hold 4.5 % of water. The
// efficiency hangs on gravity and malt by little.
constexpr double mean_extract_fraction = 0.12, mean_boil_hours = 1.0, mean_malt_extract = 0.76,
                 mean_malt_moisture = 0.045, mean_efficiency = 0.75;
// What is told moves the levels as though houses' variance about what is typical were so many times what kit_of has:
// houses lie further from it than brews from their house. At more than twice, being told could make less known.
constexpr double houses_wider = 2.0;
constexpr double least_of_typical = 0.2; // no level is drawn below so much of what is typical
constexpr double told_sd_points = 3.0;

// Conversion and lautering by their logarithms, which add up in the efficiency's.
Levels levels_of(const Kit& kit) {
    return {std::log(kit.conversion), std::log(kit.lauter_of_expected), kit.boil_off_l_per_h, kit.absorption_l_per_kg,
            kit.kettle_loss_l};
}

void set_levels(const Levels& at, Kit& kit) {
    kit.conversion = std::exp(at[0]);
    kit.lauter_of_expected = std::exp(at[1]);
    kit.boil_off_l_per_h = at[2];
    kit.absorption_l_per_kg = at[3];
    kit.kettle_loss_l = at[4];
}

double ln_efficiency(Kit kit, const Levels& at, Into into) {
    set_levels(at, kit);
    const EfficiencyExpected e = efficiency_expected(kit);
    return std::log(std::max(into == Into::kettle ? e.kettle : e.fermenter, 1e-6));
}

Levels slope_of(const Kit& kit, const Levels& at, Into into) {
    Levels slope{};
    for (std::size_t i = 0; i < levels; ++i) {
        const double step = 1e-4 * std::max(std::abs(at[i]), 1.0);
        Levels more = at, less = at;
        more[i] += step;
        less[i] -= step;
        slope[i] = (ln_efficiency(kit, more, into) - ln_efficiency(kit, less, into)) / (2.0 * step);
    }
    return slope;
}

// Levels, how uncertain they are by the widths that kit_of has, and by those that decide how far they are moved.
struct Belief {
    Levels mean{};
    Kit::Levels covariance{}, wide{};
};

// What may move: levels that nobody stated, no further than these.
struct Drawn {
    std::array<bool, levels> is{};
    Levels least{}, most{};
    [[nodiscard]] double held(std::size_t i, double value) const { return std::clamp(value, least[i], most[i]); }
};

struct Told {
    Into into;
    double ln, sd;
};

// A covariance with what is observed: of each level, and of the observation itself.
struct With {
    Levels level{};
    double variance;
    With(const Kit::Levels& covariance, const Levels& slope, double sd) : variance(sd * sd) {
        for (std::size_t i = 0; i < levels; ++i) {
            for (std::size_t j = 0; j < levels; ++j) level[i] += covariance[i][j] * slope[j];
            variance += slope[i] * level[i];
        }
    }
};

// What a move by that gain leaves of it, whether or not the gain is the best one (Joseph).
Kit::Levels left_of(Kit::Levels covariance, const With& with, const Levels& gain) {
    for (std::size_t i = 0; i < levels; ++i)
        for (std::size_t j = 0; j < levels; ++j)
            covariance[i][j] += gain[i] * gain[j] * with.variance - gain[i] * with.level[j] - with.level[i] * gain[j];
    return covariance;
}

// One observation of a function of them, iterated (Gauss-Newton). What is not drawn stays, as uncertain as it was.
Belief moved(const Belief& before, const Drawn& drawn, const Kit& kit, const Told& told) {
    Belief after = before;
    Levels at = before.mean;
    for (int round = 0; round < 4; ++round) {
        const Levels slope = slope_of(kit, at, told.into);
        const With wide(before.wide, slope, told.sd), with(before.covariance, slope, told.sd);
        double miss = told.ln - ln_efficiency(kit, at, told.into);
        for (std::size_t i = 0; i < levels; ++i) miss -= slope[i] * (before.mean[i] - at[i]);
        Levels gain{};
        for (std::size_t i = 0; i < levels; ++i) {
            if (drawn.is[i]) gain[i] = wide.level[i] / wide.variance;
            after.mean[i] = before.mean[i] + gain[i] * miss;
            at[i] = drawn.is[i] ? drawn.held(i, after.mean[i]) : after.mean[i];
        }
        after.covariance = left_of(before.covariance, with, gain);
        after.wide = left_of(before.wide, wide, gain);
    }
    return after;
}

// A level that would pass its limit stands there, and the others make up for it.
Belief observed(Belief before, Drawn drawn, const Kit& kit, const Told& told) {
    for (;;) {
        const Belief after = moved(before, drawn, kit, told);
        bool is_within = true;
        for (std::size_t i = 0; i < levels; ++i) {
            if (!drawn.is[i] || drawn.held(i, after.mean[i]) == after.mean[i]) continue;
            before.mean[i] = drawn.held(i, after.mean[i]);
            is_within = drawn.is[i] = false;
        }
        if (is_within) return after;
    }
}

// No more dissolves than the grist holds, and no more runs off than was dissolved.
Drawn drawn_levels(const Brewhouse& b, const Kit& kit, const Levels& typical) {
    constexpr double any = std::numeric_limits<double>::infinity();
    Drawn drawn;
    drawn.is = {!b.conversion, !b.lauter_of_expected, !b.boil_off, !b.absorption, !b.kettle_loss};
    for (std::size_t i = 0; i < levels; ++i)
        drawn.least[i] = i < 2 ? typical[i] + std::log(least_of_typical) : least_of_typical * typical[i];
    const double run_off = efficiency_expected(kit).kettle / kit.conversion; // of what was dissolved
    drawn.most = {0.0, typical[1] - std::log(run_off), any, any, any};
    return drawn;
}

// What one brew scatters by about its level stays; the level is as believed.
void set(double& sd, double& level_sd, double level_sd_before, double variance) {
    const double own = std::max(sd * sd - level_sd_before * level_sd_before, 0.0);
    level_sd = std::sqrt(variance);
    sd = std::sqrt(own + variance);
}

void set_belief(const Belief& belief, Kit& kit) {
    const Kit before = kit;
    set_levels(belief.mean, kit);
    kit.level_covariance = belief.covariance;
    auto& covariance = *kit.level_covariance;
    const Levels unit{kit.conversion, kit.lauter_of_expected, 1.0, 1.0, 1.0};
    for (std::size_t i = 0; i < levels; ++i)
        for (std::size_t j = 0; j < levels; ++j) covariance[i][j] *= unit[i] * unit[j];
    set(kit.conversion_sd, kit.conversion_level_sd, before.conversion_level_sd, covariance[0][0]);
    set(kit.lauter_sd, kit.lauter_level_sd, before.lauter_level_sd, covariance[1][1]);
    set(kit.boil_off_sd_l_per_h, kit.boil_off_level_sd_l_per_h, before.boil_off_level_sd_l_per_h, covariance[2][2]);
    set(kit.absorption_sd_l_per_kg, kit.absorption_level_sd_l_per_kg, before.absorption_level_sd_l_per_kg,
        covariance[3][3]);
    set(kit.kettle_loss_sd_l, kit.kettle_loss_level_sd_l, before.kettle_loss_level_sd_l, covariance[4][4]);
}

} // namespace

EfficiencyExpected efficiency_expected(const Kit& kit) {
    const double wort_kg = kit.volume_l * wort::sucrose_density_kg_m3(mean_extract_fraction, 20.0) / 1000.0;
    MashGrist grist;
    grist.extract_kg = wort_kg * mean_extract_fraction / mean_efficiency;
    grist.mass_kg = grist.extract_kg / mean_malt_extract;
    grist.moisture_kg = mean_malt_moisture * grist.mass_kg;
    BrewFacts facts;
    facts.grist_moisture_kg = grist.moisture_kg;
    facts.grist_dry_kg = grist.mass_kg - grist.moisture_kg;
    facts.wash_stages = kit.wash_stages;
    const double boil_off = kit.boil_off_l_per_h * mean_boil_hours,
                 retained = kit.absorption_l_per_kg * grist.mass_kg + kit.tun_loss_l;
    const auto liquor = split_liquor(
        kit, grist.mass_kg, liquor_for_volume(kit, kit.volume_l, grist, facts, boil_off, kit.kettle_loss_l, retained));
    const auto state = expected_state<double>(grist.extract_kg, kit.conversion, kit.lauter_of_expected, liquor.strike_l,
                                              liquor.sparge_l, retained, boil_off, kit.kettle_loss_l, facts);
    const auto b = balance(state, facts);
    return {state.extract_kettle_kg / grist.extract_kg, b.extract_fermenter_kg / grist.extract_kg};
}

Percent told_efficiency_sd(const Brewhouse& brewhouse) {
    return brewhouse.efficiency_sd.value_or(Percent(told_sd_points));
}

void draw_to_told_efficiency(const Brewhouse& brewhouse, Kit& kit) {
    const auto& fermenter = brewhouse.efficiency_fermenter;
    const auto& kettle = brewhouse.efficiency_kettle;
    if (!fermenter && !kettle) return;
    Belief belief;
    belief.mean = levels_of(kit);
    const Levels sd{kit.conversion_level_sd / kit.conversion, kit.lauter_level_sd / kit.lauter_of_expected,
                    kit.boil_off_level_sd_l_per_h, kit.absorption_level_sd_l_per_kg, kit.kettle_loss_level_sd_l};
    const Drawn drawn = drawn_levels(brewhouse, kit, belief.mean);
    for (std::size_t i = 0; i < levels; ++i) {
        belief.covariance[i][i] = sd[i] * sd[i];
        belief.wide[i][i] = (drawn.is[i] ? houses_wider : 1.0) * sd[i] * sd[i];
    }
    const double points = told_efficiency_sd(brewhouse).value();
    const auto take = [&](const std::optional<Percent>& told, Into into) {
        if (told)
            belief = observed(belief, drawn, kit, {into, std::log(told->value() / 100.0), points / told->value()});
    };
    take(kettle, Into::kettle);
    take(fermenter, Into::fermenter);
    set_belief(belief, kit);
}

Brewhouse without_told_efficiency(Brewhouse brewhouse) {
    brewhouse.efficiency_fermenter = brewhouse.efficiency_kettle = brewhouse.efficiency_sd = std::nullopt;
    return brewhouse;
}

} // namespace lotwort
