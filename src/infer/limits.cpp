#include "limits.hpp"
#include <algorithm>
#include <cmath>
#include <Eigen/Cholesky>

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

// Least squared distance (in the free solution's metric) of points with given first coordinate and the others >= 0.
// `mean` and `precision` are of (q, margins of the near limits).
double profile(double q, const VectorXd& mean, const MatrixXd& covariance) {
    const Index k = mean.size() - 1;
    double best = std::numeric_limits<double>::infinity();
    for (unsigned held = 0; held < (1U << k); ++held) { // which margins are at zero
        std::vector<Index> fixed{0};
        for (Index j = 0; j < k; ++j)
            if ((held >> j) & 1U) fixed.push_back(j + 1);
        const auto f = static_cast<Index>(fixed.size());
        MatrixXd block(f, f);
        VectorXd off(f);
        for (Index i = 0; i < f; ++i) {
            off[i] = (i == 0 ? q : 0.0) - mean[fixed[static_cast<std::size_t>(i)]];
            for (Index j = 0; j < f; ++j)
                block(i, j) = covariance(fixed[static_cast<std::size_t>(i)], fixed[static_cast<std::size_t>(j)]);
        }
        // a margin that is q itself (or nearly) makes the block singular: solved as far as it determines
        const Eigen::LDLT<MatrixXd> ldlt(block);
        const VectorXd pull = ldlt.solve(off);
        if ((block * pull - off).norm() > 1e-6 * (1.0 + off.norm())) continue;
        bool inside = true;
        for (Index j = 1; j <= k && inside; ++j) {
            double margin = mean[j];
            for (Index i = 0; i < f; ++i) margin += covariance(j, fixed[static_cast<std::size_t>(i)]) * pull[i];
            inside = margin >= -1e-9 * std::sqrt(covariance(j, j));
        }
        if (inside) best = std::min(best, off.dot(pull));
    }
    return best;
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
