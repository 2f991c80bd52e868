#include "forecast_spread.hpp"
#include <cmath>

namespace lotwort::forecast_detail {

namespace {

constexpr double typical_attenuation = 0.75, typical_attenuation_sd = 0.04;
constexpr double stated_attenuation_sd = 0.03;
constexpr double typical_boil_minutes = 60.0;
// The sources that are the house's figures, in the order of HouseFigure.
constexpr std::array<Source, house_figures> of_figure{conversion, lauter, boil_off, retained, kettle_loss};

// The learned attenuation of the recipe's yeast, at its rest.
void learn_attenuation(const Recipe& recipe, const Learned& learned, Spread& s) {
    const LearnedAttenuation* known = nullptr;
    for (const auto& other : recipe.others)
        if (const auto found = learned.attenuation.find(other.item); found != learned.attenuation.end())
            known = &found->second;
    if (!known)
        if (const auto any = learned.attenuation.find(""); any != learned.attenuation.end()) known = &any->second;
    if (!known) return;
    const double rest = recipe.mash_rest ? recipe.mash_rest->value() - learned.rest_reference_c : 0.0;
    const double value = s.mean[attenuation] + known->difference + learned.attenuation_slope_per_c * rest;
    s.independent(attenuation, value, std::hypot(known->sd, learned.attenuation_slope_sd_per_c * rest));
}

} // namespace

double boil_hours(const Recipe& recipe) {
    return (recipe.boil ? recipe.boil->value() : typical_boil_minutes) / 60.0;
}

Spread stated_spread(const Recipe& recipe, const Kit& kit, const Course& c) {
    Spread s;
    s.independent(extract, c.grist.extract_kg, c.grist.extract_sd_kg);
    s.independent(conversion, kit.conversion, kit.conversion_sd);
    s.independent(lauter, kit.lauter_of_expected, kit.lauter_sd);
    s.independent(retained, c.retained_l, kit.absorption_sd_l_per_kg * c.grist.mass_kg);
    s.independent(boil_off, c.boil_off_l, kit.boil_off_sd_l_per_h * boil_hours(recipe));
    s.independent(kettle_loss, c.kettle_loss_l, kit.kettle_loss_sd_l);
    if (kit.level_covariance) {
        const std::array<double, house_figures> unit{1.0, 1.0, boil_hours(recipe), c.grist.mass_kg, 1.0};
        for (std::size_t a = 0; a < house_figures; ++a)
            for (std::size_t b = 0; b < house_figures; ++b)
                if (a != b)
                    s.covariance[of_figure[a]][of_figure[b]] = unit[a] * unit[b] * (*kit.level_covariance)[a][b];
    }
    s.independent(attenuation, recipe.attenuation ? recipe.attenuation->value() / 100.0 : typical_attenuation,
                  recipe.attenuation ? stated_attenuation_sd : typical_attenuation_sd);
    return s;
}

// Each source is a mean and a row of what it takes of every learned figure.
Spread learned_spread(const Recipe& recipe, const Kit& kit, const Course& c, const std::vector<PlannedMalt>& malts,
                      const Learned& learned) {
    Spread s = stated_spread(recipe, kit, c);
    std::vector<std::vector<double>> takes(sources, std::vector<double>(learned.size(), 0.0));
    double ln_conversion = learned.mean[0], unknown_variance = 0.0;
    takes[conversion][0] = 1.0;
    for (const auto& malt : malts) {
        const double share = malt.mass.value() * malt.figures.extract_as_is.value / c.grist.extract_kg;
        if (const auto at = learned.malt(malt.item)) {
            takes[conversion][*at] += share;
            s.ln_malts += share * learned.mean[*at];
        } else {
            unknown_variance += std::pow(malt.mass.value() * malt.figures.extract_as_is.sd, 2);
        }
    }
    if (recipe.mash_rest)
        ln_conversion += learned.rest_slope_per_c * (recipe.mash_rest->value() - learned.rest_reference_c);
    ln_conversion += s.ln_malts;
    const double hours = boil_hours(recipe), mass = c.grist.mass_kg;
    takes[lauter][1] = takes[boil_off][2] = takes[retained][3] = takes[kettle_loss][4] = 1.0;
    const std::array<double, house_figures> unit{std::exp(ln_conversion), std::exp(learned.mean[1]), hours, mass, 1.0};
    s.independent(extract, c.grist.extract_kg, std::sqrt(unknown_variance));
    for (std::size_t a = 0; a < house_figures; ++a)
        for (std::size_t b = 0; b < house_figures; ++b) {
            double sum = a == b ? learned.scatter[a] * learned.scatter[a] : 0.0;
            for (std::size_t i = 0; i < learned.size(); ++i)
                if (takes[of_figure[a]][i] != 0.0)
                    for (std::size_t j = 0; j < learned.size(); ++j)
                        sum += takes[of_figure[a]][i] * takes[of_figure[b]][j] * learned.cov(i, j);
            s.covariance[of_figure[a]][of_figure[b]] = unit[a] * unit[b] * sum;
        }
    s.mean[conversion] = unit[0];
    s.mean[lauter] = unit[1];
    s.mean[boil_off] = learned.mean[2] * hours;
    s.mean[retained] = learned.mean[3] * mass + kit.tun_loss_l;
    s.mean[kettle_loss] = learned.mean[4] + (c.kettle_loss_l - kit.kettle_loss_l);
    learn_attenuation(recipe, learned, s);
    return s;
}

} // namespace lotwort::forecast_detail
