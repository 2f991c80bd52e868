// What past brews have taught of a brewhouse, its malts and its yeast, as the forecast of the next brew takes it.
//
// A brewhouse's book says 92 % conversion; forty brews say 90.6 and that the malt on the shelf is 1 % better than its
// paper. The two are not known apart - only their sum is - so they come with their covariance. Filled by
// infer/learn.hpp; here is only the value, so that forecast and plan need nothing of inference.
#pragma once

#include <cstddef>
#include <lotwort/core/quantity.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// The brewhouse's own figures, in the order of Learned::mean: ln of the conversion (against the certificate's extract),
// ln of lautering against its expectation, boil-off in L/h, absorption in L/kg, kettle loss in L without the hops'
// share.
enum class HouseFigure : std::size_t { conversion, lauter, boil_off, absorption, kettle_loss };
inline constexpr std::size_t house_figures = 5;

// Apparent attenuation (a fraction) less what the recipe states, or less 0.75 where it states none.
struct LearnedAttenuation {
    double difference = 0.0;
    double sd = 0.0; // of the next beer's, scatter included
    int brews = 0;
};

struct Learned {
    std::string brewhouse;
    int brews = 0; // that something was learned from
    // One joint Gaussian: the house's figures as the next brew will meet them (the walk's next step is in), then a
    // relative difference from the certificate (0.01: 1 % better) of every malt of `malts`.
    std::vector<std::string> malts; // a lot's code, or an item's name for any lot of it not seen yet
    std::vector<double> mean;
    std::vector<double> covariance;     // row by row
    double scatter[house_figures] = {}; // of one brew about its level, one sd, in each figure's own unit
    // Mash covariates (ln of the conversion per degree and per unit), where brews have shown any; 0 without.
    double rest_slope_per_c = 0.0, rest_slope_sd_per_c = 0.0;
    double rest_reference_c = 66.0;
    // Attenuation by yeast item (the empty name: any yeast), at the reference rest, and its slope with the rest.
    std::map<std::string, LearnedAttenuation> attenuation;
    double attenuation_slope_per_c = 0.0, attenuation_slope_sd_per_c = 0.0;
    // Measured bitterness over what the utilisation curve and the aged alpha foretold; its sd is of the next beer,
    // scatter included. None where no bitterness was measured.
    std::optional<double> bitterness_ratio;
    double bitterness_ratio_sd = 0.0;
    // Packaged volume as a share of what was in the fermenter.
    std::optional<double> packaged_share;
    double packaged_share_sd = 0.0;
    // Brews that something is wrong with, left out: "B7 is left out of what past brews taught: its readings ..."; one
    // sentence for all of them where they are many.
    std::vector<std::string> remarks;

    [[nodiscard]] std::size_t size() const { return mean.size(); }
    [[nodiscard]] double cov(std::size_t i, std::size_t j) const { return covariance[i * size() + j]; }
    // Where a malt stands in mean and covariance; none if nothing was asked of it.
    [[nodiscard]] std::optional<std::size_t> malt(const std::string& name) const {
        for (std::size_t i = 0; i < malts.size(); ++i)
            if (malts[i] == name) return house_figures + i;
        return std::nullopt;
    }
};

} // namespace lotwort
