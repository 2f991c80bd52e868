// The learned model fitted: scales sought and integrated over, every figure a mixture over the grid.
#pragma once

#include "change.hpp"
#include "reconcile/mixture.hpp"

namespace lotwort::infer_detail {

struct FittedLot {
    Mixture difference;
    std::vector<Mixture> in_model; // the same under each of the change models
    Mixture if_odd;                // the same, taken for one of the odd ones: hardly shrunk
    Mixture if_ordinary;           // taken for one of the others
    Mixture own_if_odd;            // lot less item, taken for one of the odd ones: what p_value speaks of
    double probability_odd = 0.0;
    double p_value = 0.0; // of an ordinary lot lying so far off, averaged over the grid
};

// A lasting error of an instrument, or how far a figure of the house lies from what is stated; in sd of that.
struct FittedOffset {
    Mixture offset;
    Mixture if_beyond;   // taken for one of the few far off
    double beyond = 0.0; // probability that it is one of the few far off
};

struct FittedModel {
    std::vector<ChangeModel> changes;
    std::vector<FittedLot> lots;
    std::vector<FittedOffset> instruments;
    std::vector<std::array<FittedOffset, 3>> houses; // boil-off, absorption, kettle loss
    std::vector<Mixture> items;
    struct Level {
        Mixture conversion, lauter,
            both; // both: ln of the product with the brew's transfer, beside where it was linear
        Mixture own_conversion, own_lauter;
    };
    std::vector<Level> levels; // as model.brews
    // Of the combinations asked for: mean, and covariance row by row, over the grid.
    std::vector<double> joint_mean, joint_covariance;
    std::vector<std::vector<Mixture>> in_model; // each of those asked for by model, under each of the change models
    std::vector<double> scale_squares;          // E exp(2 s) of each scale
    double log_likelihood = 0.0;
};

// The scales' posterior as points, with those sentences widened. The more brews, the fewer points: what many brews tell
// of the scales is sharp.
[[nodiscard]] stats::ScaleGrid find_scales(stats::GaussianSolver& solver, const LearnModel& model,
                                           const std::vector<stats::GaussianSolver::Widened>& widened,
                                           const std::vector<double>& start);
[[nodiscard]] stats::ScaleGrid find_scales(const LearnModel& model);
[[nodiscard]] stats::ScaleGrid stated_scales();
// The scales at the root of what their squares come to on average: one point that foretells as widely as all of them.
[[nodiscard]] stats::ScaleGrid at_one_point(const stats::ScaleGrid& grid);
// What may have changed, found quickly, each model at one point of its scales.
[[nodiscard]] std::vector<ChangeModel> changes_at_one_point(const LearnModel& model);

// The likeliest model's scales.
[[nodiscard]] const std::vector<double>& likeliest_scales(const FittedModel& fitted);

// `combinations` are wanted jointly, `by_model` each alone under each of the change models.
[[nodiscard]] FittedModel fit_model(const LearnModel& model, std::vector<ChangeModel> changes,
                                    const std::vector<std::vector<stats::Term>>& combinations,
                                    const std::vector<std::vector<stats::Term>>& by_model = {});

// The lots' scatter as the charts expect it: wide by as much as a lot is odd.
[[nodiscard]] std::vector<double> chart_scatter(const LearnModel& model, const FittedModel& fitted);

} // namespace lotwort::infer_detail
