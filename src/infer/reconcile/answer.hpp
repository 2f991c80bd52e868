// From a solved brew to its figures: efficiencies, quantities, test.
#pragma once

#include "brew_problem.hpp"
#include <lotwort/infer/reconciliation.hpp>
#include <string>
#include <utility>
#include <vector>

namespace lotwort::infer_detail {

// The efficiencies of the brew asked about, in the order conversion, lauter, kettle_yield, transfer, brewhouse.
[[nodiscard]] std::vector<std::pair<const char*, Traced>> efficiencies_of(const BrewModel& model,
                                                                          const JointBalance& at);

// Its quantities, named as in docs/commands/reconcile.md.
[[nodiscard]] std::vector<std::pair<std::string, Traced>> quantities_of(const BrewModel& model, const JointBalance& at);

[[nodiscard]] Estimated estimate_of(const Traced& x, const Limited& limited);
[[nodiscard]] Efficiencies efficiencies_at(const BrewModel& model, const UnknownsOf& unknowns, const Limited& limited);
[[nodiscard]] GlobalTest test_of(const stats::LeastSquaresSolution& solution);

} // namespace lotwort::infer_detail
