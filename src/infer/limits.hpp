// Limits that no brew can pass (no more extract dissolved than the grist holds, none of a loss below nothing), and
// intervals that respect them.
#pragma once

#include <Eigen/Core>
#include <functional>
#include <lotwort/core/estimate.hpp>
#include <lotwort/stats/least_squares.hpp>
#include <string>
#include <vector>

namespace lotwort::infer_detail {

// a' theta >= 0
struct Limit {
    std::string name; // what it says, for a remark
    Eigen::VectorXd a;
};

// The least-squares problem kept inside its limits. `free` is the solution that knows no limits: its quadratic is
// the likelihood. Where no limit comes near, `solution` is `free` and intervals are the normal ones.
struct Limited {
    stats::LeastSquaresSolution free;
    stats::LeastSquaresSolution solution;
    std::vector<Limit> near;       // limits within 4 standard deviations of the free solution
    std::vector<std::string> held; // names of those that bind

    // Value at the solution and the 90 % interval. Near a limit the interval is where the profile of the likelihood
    // over all theta inside the limits lies within 2.706 (chi-square, 1 degree of freedom, 90 %) of its best; sd is
    // then the interval's half-width over 1.645.
    [[nodiscard]] Estimate estimate(double value, const Eigen::VectorXd& gradient) const;
};

// Solves within the limits by an active set: a limit that is violated is held as an equation of vanishing width, and
// let go when the others would pull away from it.
[[nodiscard]] Limited solve_within(const stats::LeastSquaresProblem& problem, const std::vector<Limit>& limits);

} // namespace lotwort::infer_detail
