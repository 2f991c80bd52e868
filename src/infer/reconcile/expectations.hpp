// What a brewhouse is expected to do, as equations.
#pragma once

#include "brew_evidence.hpp"
#include "brew_model.hpp"
#include <lotwort/brew/mash_grist.hpp>
#include <vector>

namespace lotwort::infer_detail {

// Adds the expectations of one brew, and sets its start to them. `grists` are its mashes, `hop_kg` what was boiled.
void add_expectations(const ReconcileInput& in, const Kit& kit, const std::vector<MashGrist>& grists, double hop_kg,
                      std::size_t brew, BrewModel& model);

// The house with these figures in its book, conversion and lautering as fractions, and no level beside them. What is
// beyond what a brewhouse can be stated with is stated as far as that goes: malt may be far better than its paper.
[[nodiscard]] Brewhouse expecting(Brewhouse house, const HouseValues& figures, const HouseValues& sd);

} // namespace lotwort::infer_detail
