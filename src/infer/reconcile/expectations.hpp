// What a brewhouse is expected to do, as equations.
#pragma once

#include "brew_model.hpp"
#include <lotwort/brew/mash_grist.hpp>
#include <vector>

namespace lotwort::infer_detail {

// Adds the expectations of one brew, and sets its start to them. `grists` are its mashes, `hop_kg` what was boiled.
void add_expectations(const ReconcileInput& in, const Kit& kit, const std::vector<MashGrist>& grists, double hop_kg,
                      std::size_t brew, BrewModel& model);

} // namespace lotwort::infer_detail
