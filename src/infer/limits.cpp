#include "limits.hpp"
#include <algorithm>
#include <cmath>
#include <Eigen/Cholesky>
#include <limits>

namespace lotwort::infer_detail {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double chi_square_90 = 2.705543454095404; // one degree of freedom
constexpr double near_sd = 4.0;
constexpr double held_width = 1e-7; // of the free standard deviation: the equation that holds a limit

double sd_of(const stats::LeastSquaresSolution& s, const VectorXd& a) {
    return std::sqrt(std::max(0.0, a.dot(s.covariance * a)));
}

// The problem with the limits of `held` as equations.
stats::LeastSquaresProblem holding(const stats::LeastSquaresProblem& p, const stats::LeastSquaresSolution& free,
                                   const std::vector<const Limit*>& held, const VectorXd& start) {
    const Index m = p.observed.size(), k = static_cast<Index>(held.size());
    stats::LeastSquaresProblem out = p;
    out.start = start;
    out.observed = VectorXd::Zero(m + k);
    out.observed.head(m) = p.observed;
    out.covariance = MatrixXd::Zero(m + k, m + k);
    out.covariance.topLeftCorner(m, m) = p.covariance;
    for (Index i = 0; i < k; ++i)
        out.covariance(m + i, m + i) = std::pow(held_width * sd_of(free, held[static_cast<std::size_t>(i)]->a), 2);
    out.tolerance = 1e-8; // the held equations are sharp; their rounding is of this size
    out.model = [&p, held, m, k](const VectorXd& theta, VectorXd& f, MatrixXd& jacobian) {
        VectorXd own(m);
        MatrixXd slopes = MatrixXd::Zero(m, theta.size());
        p.model(theta, own, slopes);
        f.head(m) = own;
        jacobian.topRows(m) = slopes;
        for (Index i = 0; i < k; ++i) {
            const auto& a = held[static_cast<std::size_t>(i)]->a;
            f[m + i] = a.dot(theta);
            jacobian.row(m + i) = a.transpose();
        }
    };
    return out;
}

// Brings a solution of the held problem back to the readings' own size, so that residuals and test are theirs.
void drop_held_rows(stats::LeastSquaresSolution& s, const stats::LeastSquaresProblem& p, std::size_t held) {
    const Index m = p.observed.size();
    s.fitted.conservativeResize(m);
    s.residual.conservativeResize(m);
    s.jacobian = MatrixXd(s.jacobian.topRows(m));
    s.weight = MatrixXd(s.weight.topLeftCorner(m, m));
    s.residual_covariance = p.covariance - s.jacobian * s.covariance * s.jacobian.transpose();
    s.statistic = s.residual.dot(s.weight * s.residual);
    // a limit that holds takes one unknown away
    s.rank -= static_cast<int>(held);
    s.degrees_of_freedom = static_cast<int>(m) - s.rank;
}

// Least squared distance (in the free solution's metric) of points whose first coordinate is q and whose others, the
// margins of the near limits, are not below nothing. `mean` and `covariance` are of (q, margins). With q given, margins
// are m + C lambda for pulls lambda >= 0 that act only where a margin is nothing (a linear complementarity problem):
// an active set of pulls, as in non-negative least squares (Lawson and Hanson 1974, ch. 23).
double profile(double q, const VectorXd& mean, const MatrixXd& covariance) {
    const Index k = mean.size() - 1;
    const double off = q - mean[0], variance = covariance(0, 0);
    const VectorXd with_q = covariance.col(0).tail(k) / variance;
    const VectorXd m = mean.tail(k) + with_q * off;
    const MatrixXd c = covariance.bottomRightCorner(k, k) - with_q * covariance.row(0).tail(k);
    const double base = off * off / variance;

    std::vector<Index> pulled;
    VectorXd lambda = VectorXd::Zero(k);
    for (Index round = 0; round < 4 * k + 1; ++round) {
        const VectorXd margin = m + c * lambda;
        Index worst = -1;
        double least = -1e-9;
        for (Index j = 0; j < k; ++j) {
            const double relative = margin[j] / std::sqrt(covariance(j + 1, j + 1));
            if (relative < least && std::ranges::find(pulled, j) == pulled.end()) {
                least = relative;
                worst = j;
            }
        }
        if (worst < 0) return base + lambda.dot(c * lambda);
        // q alone fixes the margin, beyond its limit: no such point
        if (c(worst, worst) <= 1e-10 * covariance(worst + 1, worst + 1)) return std::numeric_limits<double>::infinity();
        pulled.push_back(worst);
        for (bool again = true; again;) {
            const auto n = static_cast<Index>(pulled.size());
            MatrixXd block(n, n);
            VectorXd short_of(n);
            for (Index i = 0; i < n; ++i) {
                const Index at = pulled[static_cast<std::size_t>(i)];
                short_of[i] = -m[at];
                for (Index j = 0; j < n; ++j) block(i, j) = c(at, pulled[static_cast<std::size_t>(j)]);
            }
            const VectorXd pull = block.ldlt().solve(short_of);
            // q and the other margins fix it
            if (!((block * pull - short_of).norm() <= 1e-6 * short_of.norm()))
                return std::numeric_limits<double>::infinity();
            lambda.setZero();
            for (Index i = 0; i < n; ++i) lambda[pulled[static_cast<std::size_t>(i)]] = pull[i];
            Index weakest = 0;
            again = n > 1 && pull.minCoeff(&weakest) < 0.0;
            if (again) pulled.erase(pulled.begin() + weakest);
        }
    }
    return std::numeric_limits<double>::infinity();
}

} // namespace

Estimate Limited::estimate(double value, const VectorXd& gradient) const {
    if (near.empty()) return normal_estimate(value, sd_of(free, gradient));
    const auto k = static_cast<Index>(near.size());
    MatrixXd rows(k + 1, gradient.size());
    rows.row(0) = gradient.transpose();
    for (Index i = 0; i < k; ++i) rows.row(i + 1) = near[static_cast<std::size_t>(i)].a.transpose();
    const MatrixXd covariance = rows * free.covariance * rows.transpose();
    VectorXd mean = rows * free.theta;
    // the quantity by its slope at the limited solution, where it is `value`
    mean[0] = value + gradient.dot(free.theta - solution.theta);

    const double sd = std::sqrt(covariance(0, 0));
    if (sd <= 0.0) return normal_estimate(value, 0.0);
    const double best = profile(value, mean, covariance);
    const auto edge = [&](double direction) {
        double inside = 0.0, outside = 0.0;
        for (double reach = 0.5; reach <= 64.0; reach *= 2.0) {
            outside = reach;
            if (!(profile(value + direction * reach * sd, mean, covariance) - best <= chi_square_90)) break;
            inside = reach;
        }
        for (int i = 0; i < 50; ++i) {
            const double middle = 0.5 * (inside + outside);
            (profile(value + direction * middle * sd, mean, covariance) - best <= chi_square_90 ? inside : outside) =
                middle;
        }
        return value + direction * inside * sd;
    };
    const double low = edge(-1.0), high = edge(1.0);
    return {value, (high - low) / (2.0 * std::sqrt(chi_square_90)), low, high};
}

Limited solve_within(const stats::LeastSquaresProblem& problem, const std::vector<Limit>& limits) {
    Limited out;
    out.free = stats::solve(problem);
    out.solution = out.free;
    for (const auto& limit : limits)
        if (limit.a.dot(out.free.theta) < near_sd * sd_of(out.free, limit.a)) out.near.push_back(limit);

    std::vector<const Limit*> held;
    for (std::size_t round = 0; round < 3 * limits.size(); ++round) {
        const Limit* worst = nullptr;
        double least = -1e-9;
        for (const auto& limit : out.near) {
            const double margin = limit.a.dot(out.solution.theta) / sd_of(out.free, limit.a);
            if (std::ranges::find(held, &limit) == held.end() && margin < least) {
                worst = &limit;
                least = margin;
            }
        }
        if (!worst) break;
        held.push_back(worst);
        for (;;) {
            out.solution = stats::solve(holding(problem, out.free, held, out.solution.theta));
            // the held equation's residual is -a'theta: where it is negative the readings pull to the inside of the
            // limit
            const Index m = problem.observed.size();
            std::vector<const Limit*> still;
            for (std::size_t i = 0; i < held.size(); ++i)
                if (out.solution.residual[m + static_cast<Index>(i)] >= 0.0) still.push_back(held[i]);
            held.swap(still);
            if (static_cast<Index>(held.size()) == out.solution.residual.size() - m) break;
        }
        drop_held_rows(out.solution, problem, held.size());
    }
    for (const auto* limit : held) out.held.push_back(limit->name);
    return out;
}

} // namespace lotwort::infer_detail
