// What is uncertain of a brew before it is brewed: means and covariance of what the forecast is a function of.
#pragma once

#include <array>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/brew/liquor.hpp>

namespace lotwort::forecast_detail {

// The expected course of a brew for a target volume, and the liquor it takes.
struct Course {
    MashGrist grist;
    BrewFacts facts;
    double boil_off_l = 0.0, kettle_loss_l = 0.0, retained_l = 0.0;
    LiquorSplit liquor;
};

// In the order of the Dual's slopes.
enum Source : std::size_t { extract, conversion, lauter, retained, boil_off, kettle_loss, attenuation, sources };
using Uncertain = Dual<sources>;

// Means of the sources and their covariance.
struct Spread {
    std::array<double, sources> mean{};
    std::array<std::array<double, sources>, sources> covariance{};
    double ln_malts = 0.0; // the malts' learned part of the conversion
    void independent(Source i, double value, double sd) {
        mean[i] = value;
        covariance[i][i] = sd * sd;
    }
};

// Of the recipe; an hour unless it says.
[[nodiscard]] double boil_hours(const Recipe& recipe);

// As the brewhouse's book and the certificates have it.
[[nodiscard]] Spread stated_spread(const Recipe& recipe, const Kit& kit, const Course& c);

// As past brews have it: the house's figures and the malts in their joint distribution, and the yeast's attenuation.
[[nodiscard]] Spread learned_spread(const Recipe& recipe, const Kit& kit, const Course& c,
                                    const std::vector<PlannedMalt>& malts, const Learned& learned);

} // namespace lotwort::forecast_detail
