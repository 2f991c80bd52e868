// One brew's equations as a least-squares problem over its unknowns.
#pragma once

#include "equations.hpp"
#include "limits.hpp"
#include <Eigen/Core>
#include <lotwort/stats/least_squares.hpp>
#include <vector>

namespace lotwort::infer_detail {

// The unknowns as a state whose members carry their slopes.
[[nodiscard]] BrewState<Slopes> state_at(const Eigen::VectorXd& theta);

// Own errors on the diagonal; readings by one instrument share its bias.
[[nodiscard]] Eigen::MatrixXd covariance_of(const std::vector<BrewEquation>& equations);

// Keeps a reference to `equations`, which must outlive the problem.
[[nodiscard]] stats::LeastSquaresProblem problem_of(const std::vector<BrewEquation>& equations, const BrewFacts& facts,
                                                    const Eigen::VectorXd& start);

[[nodiscard]] Eigen::VectorXd start_of(const BrewModel& model);

// What no brew can pass. Liquor topped up may be found below nothing: wort lost and not written down.
[[nodiscard]] std::vector<Limit> limits_of_a_brew();

} // namespace lotwort::infer_detail
