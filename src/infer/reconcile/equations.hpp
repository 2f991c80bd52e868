// The equations of one brew: every reading and every expectation, with its uncertainty.
#pragma once

#include "brew_model.hpp"

namespace lotwort::infer_detail {

// All equations of the brew. Where more brews and mashes are tied together than most_unknowns has room for, of the one
// asked about alone, with a remark. Error(refused) where its malt cannot be reckoned with.
[[nodiscard]] BrewModel brew_model(const ReconcileInput& input);

// Whether malt or sugar was weighed into a mash of it, even such as holds no extract: a brew without equations has
// either none of it, or none that tells.
[[nodiscard]] bool has_malt(const ReconcileInput& input);

// What stands in for equation i where it is left out; none where nothing does, or other readings of the same are there.
[[nodiscard]] const BrewEquation* stand_in_for(const BrewModel& model, std::size_t i);
const BrewEquation* stand_in_for(const BrewModel&&, std::size_t) = delete;

// The model without equation i, what stands in for it taken in.
[[nodiscard]] BrewModel without(const BrewModel& model, std::size_t i);

// An equation for a reading that was not taken: what its instrument would show, with its uncertainty.
// Empty where that reading was taken already.
[[nodiscard]] std::vector<BrewEquation> possible_readings(const ReconcileInput& input, const BrewModel& model);

} // namespace lotwort::infer_detail
