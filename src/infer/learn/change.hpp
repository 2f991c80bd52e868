// When a house's level changed, as models beside the one in which it did not: each says at which brews conversion or
// lautering took a step, and has its share of the posterior. What is answered is the mean over all of them, so that a
// change that is named because it looks large is not told larger than it is.
#pragma once

#include "model.hpp"

namespace lotwort::infer_detail {

// A step that began with a brew: a step of the walk that may be wide.
struct Step {
    std::size_t brew = 0; // into LearnModel::brews
    int quantity = 0;     // 0 conversion, 1 lautering
    friend bool operator==(const Step&, const Step&) = default;
};

struct ChangeModel {
    std::vector<Step> steps; // none: the level only wanders
    stats::ScaleGrid grid;   // the scales' posterior under it
    double log_evidence = 0.0;
    double weight = 1.0; // of all models; they sum to 1
};

// A step's size is N(0, step_size_sd^2) beforehand, in ln. One brew in so many begins one; crush, mash, liquor and malt
// all reach conversion, so that a step there is likelier than one in lautering.
inline constexpr double step_size_sd = 0.03;
inline constexpr double step_chance[2] = {1.0 / 45.0, 1.0 / 90.0};
inline constexpr int least_brews_before = 2, least_brews_after = 3; // of a step that is considered

// The sentences that a model's steps widen.
[[nodiscard]] std::vector<stats::GaussianSolver::Widened> widened_by(const LearnModel& model,
                                                                     const std::vector<Step>& steps);

// Whether the model has a step within so many brews of that one, in its house.
[[nodiscard]] bool has_step_near(const LearnModel& model, const ChangeModel& change, std::size_t brew, int reach);

// No step; the scales as these points have them.
[[nodiscard]] ChangeModel without_steps(stats::ScaleGrid grid);

// The models worth keeping, likeliest first: one step is sought beside those of the likeliest model, and another,
// until none is worth its price. `still`: the model without steps. Where brews are many, or the search is to be quick,
// its scales are all models'.
enum class Seek { thoroughly, quickly };
[[nodiscard]] std::vector<ChangeModel> find_changes(const LearnModel& model, ChangeModel still,
                                                    Seek seek = Seek::thoroughly);

} // namespace lotwort::infer_detail
