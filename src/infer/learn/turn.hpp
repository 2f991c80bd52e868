// Where a house's level may have changed, what else began there, and which of these a change is due to.
#pragma once

#include "drift.hpp"
#include "fit.hpp"

namespace lotwort::infer_detail {

// Probability from which a change is named. With the steps' own chances (change.hpp) a house that only wanders a little
// is told of one in at most one of twenty series of 30 brews (docs/methods/learn.md).
inline constexpr double named_from = 0.6;

// A brew with which something may have begun.
struct Turn {
    std::size_t brew = 0;                   // into LearnModel::brews
    std::vector<std::size_t> before, after; // brews that are held against each other
    struct Effect {
        std::string what;
        std::vector<stats::Term> terms; // on ln of what comes of the malt, after less before
        bool is_read = false;           // a covariate: its effect is known where its slope is
    };
    std::vector<Effect> effects;
};

// Of each house, likeliest first, where models with some weight have a step.
[[nodiscard]] std::vector<Turn> find_turns(const LearnModel& model, const std::vector<ChangeModel>& changes);

// What must be fitted to name them: of each turn both levels and their sum, after less before, then every effect, then
// all together, then all but what was read.
[[nodiscard]] std::vector<std::vector<stats::Term>> combinations_of(const LearnModel& model,
                                                                    const std::vector<Turn>& turns);

// Those named, in the order of their brews; fitted with the turns' combinations by model.
[[nodiscard]] std::vector<Drift> named_changes(const LearnModel& model, const FittedModel& fitted,
                                               const std::vector<Turn>& turns,
                                               const std::vector<std::vector<Signal>>& signals);

// The least change that would be named four times in five, of each house with brews enough.
[[nodiscard]] std::vector<Power> power_of(const LearnModel& model, const FittedModel& fitted);

} // namespace lotwort::infer_detail
