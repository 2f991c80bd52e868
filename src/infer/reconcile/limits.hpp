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

// The least-squares problem kept inside its limits. `free` is the solution that knows no limits. Where no limit comes
// near, `solution` is `free` and intervals are the normal ones.
struct Limited {
    stats::LeastSquaresSolution free;
    stats::LeastSquaresSolution solution;
    std::vector<Limit> near;       // limits within 4 standard deviations
    std::vector<std::string> held; // names of those that bind
    // The likelihood as the quadratic that it is at the solution: its covariance, and how far away its top lies, beyond
    // the limits that bind.
    Eigen::MatrixXd covariance;
    Eigen::VectorXd to_top;

    // Value at the solution and the 90 % interval. Near a limit it is the shortest interval that holds 90 % of the
    // likelihood integrated over all theta inside the limits, stretched to the value if that lies outside; sd is then
    // its half-width over 1.645. Two limits and more are integrated one after the other (Mendell and Elston 1974): the
    // interval then holds 90 +- 1 %.
    [[nodiscard]] Estimate estimate(double value, const Eigen::VectorXd& gradient) const;
};

// Whether the solution is one: the search has ended, within the limits.
[[nodiscard]] bool is_settled(const Limited& limited, const std::vector<Limit>& limits);

// Solves within the limits by an active set: a limit that is violated is held as an equation of vanishing width, and
// let go when the others would pull away from it.
[[nodiscard]] Limited solve_within(const stats::LeastSquaresProblem& problem, const std::vector<Limit>& limits);

} // namespace lotwort::infer_detail
