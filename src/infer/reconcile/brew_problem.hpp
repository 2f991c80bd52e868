// A brew's equations as a least-squares problem over its unknowns.
#pragma once

#include "joint_balance.hpp"
#include "limits.hpp"
#include <Eigen/Core>
#include <lotwort/stats/least_squares.hpp>
#include <optional>
#include <vector>

namespace lotwort::infer_detail {

// What the errors of two equations have in common; of one with itself, all but its own.
[[nodiscard]] double shared_covariance(const BrewEquation& a, const BrewEquation& b);

// Own errors on the diagonal, and what is shared laid over it: readings by one instrument share its bias, other
// equations what they name as shared. Positive definite, whatever the errors are: none is wholly another's.
[[nodiscard]] Eigen::MatrixXd covariance_of(const std::vector<BrewEquation>& equations);

// The state that was expected.
[[nodiscard]] Eigen::VectorXd start_of(const BrewModel& model);

// Keeps references to the model and the unknowns, which must outlive the problem.
[[nodiscard]] stats::LeastSquaresProblem problem_of(const BrewModel& model, const UnknownsOf& unknowns);

// The same without equation i, what stands in for it in its place, beginning at `start`.
[[nodiscard]] stats::LeastSquaresProblem problem_without(const stats::LeastSquaresProblem& whole,
                                                         const BrewModel& model, const UnknownsOf& unknowns,
                                                         std::size_t i, const Eigen::VectorXd& start);

// What no brew can pass. Liquor topped up may be found below nothing: wort lost and not written down.
[[nodiscard]] std::vector<Limit> limits_of(const BrewModel& model, const UnknownsOf& unknowns);

} // namespace lotwort::infer_detail
