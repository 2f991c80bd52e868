// Which reading or expectation is odd, where the readings contradict each other.
#pragma once

#include "brew_problem.hpp"
#include "limits.hpp"
#include <lotwort/infer/reconciliation.hpp>
#include <vector>

namespace lotwort::infer_detail {

// An equation that is odd: what leaving it out would give.
struct Charge {
    std::size_t index = 0; // in the model's equations
    double drop = 0.0;     // of the statistic: the likelihood ratio for an error in this equation
    Eigen::VectorXd start; // where the search without it began
};

// Each equation is charged by leaving it out: for small errors the same as the linear likelihood ratio, and still right
// where a gross one has bent the solution. Strongest first, five at most, each significant at 5 %; where one explains
// all, none that explains next to nothing.
[[nodiscard]] std::vector<Charge> charges_of(const BrewModel& model, const UnknownsOf& unknowns,
                                             const stats::LeastSquaresProblem& problem, const Limited& as_read);

// The charges with all that is said of a suspect.
[[nodiscard]] std::vector<Suspect> suspects_of(const std::vector<Charge>& charges, const BrewModel& model,
                                               const UnknownsOf& unknowns, const stats::LeastSquaresProblem& problem,
                                               const Limited& as_read);

} // namespace lotwort::infer_detail
