// Which reading or expectation is odd, where the readings contradict each other.
#pragma once

#include "brew_problem.hpp"
#include <lotwort/infer/reconcile.hpp>
#include <vector>

namespace lotwort::infer_detail {

// Each equation is charged by leaving it out: for small errors the same as the linear likelihood ratio, and still right
// where a gross one has bent the solution. Strongest first, five at most, each significant at 5 %.
[[nodiscard]] std::vector<Suspect> suspects_of(const BrewModel& model, const UnknownsOf& unknowns,
                                               const stats::LeastSquaresProblem& problem,
                                               const stats::LeastSquaresSolution& solution);

} // namespace lotwort::infer_detail
