#include "limits.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/stats/dense.hpp>
#include <numbers>
#include <numeric>

namespace lotwort::infer_detail {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double z_95 = 1.6448536269514722;
constexpr double near_sd = 4.0;
constexpr double held_width = 1e-7;         // of the free standard deviation: the equation that holds a limit
constexpr double least_margin_share = 1e-9; // of it: no margin is taken to be known better
constexpr double unseen_share = 1e-6;       // of an unknown's size: below it nothing was read that speaks of it
constexpr double rounding = 1e-9;           // of the largest unknown

double sd_of(const MatrixXd& covariance, const VectorXd& a) {
    return std::sqrt(std::max(0.0, a.dot(covariance * a)));
}
double sd_of(const stats::LeastSquaresSolution& s, const VectorXd& a) {
    return sd_of(s.covariance, a);
}

// Where nothing speaks of a margin its standard deviation is nothing: the unknowns' own size then says what is narrow.
double held_sd(const stats::LeastSquaresProblem& p, const stats::LeastSquaresSolution& free, const VectorXd& a) {
    const double sd = sd_of(free, a), size = a.cwiseAbs().dot(p.scale);
    return held_width * (sd > unseen_share * size ? sd : size);
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
        out.covariance(m + i, m + i) = std::pow(held_sd(p, free, held[static_cast<std::size_t>(i)]->a), 2);
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
    s.residual_covariance = p.covariance - stats::sandwich(s.jacobian, s.covariance);
    s.statistic = s.residual.dot(s.weight * s.residual);
    // a limit that holds takes one unknown away
    s.rank -= static_cast<int>(held);
    s.degrees_of_freedom = static_cast<int>(m) - s.rank;
}

// ln P(standard normal <= z), far tail by the first terms of Abramowitz and Stegun 26.2.12.
double log_normal_below(double z) {
    if (z > -30.0) return std::log(0.5 * std::erfc(-z / std::numbers::sqrt2));
    return -0.5 * z * z - std::log(-z * std::sqrt(2.0 * std::numbers::pi)) + std::log1p(-1.0 / (z * z));
}

// What cutting a standard normal distribution off below -z does: its mean moves up by `shift`, `drop` of its variance
// goes.
struct Cut {
    double shift, drop;
};
Cut cut_below(double z, double log_chance) {
    if (z < -30.0) { // the ratio's series there: its difference from -z would be lost to rounding
        const double t = -z, square = 1.0 / (z * z);
        return {t + (1.0 - 2.0 * square) / t, 1.0 - square};
    }
    const double ratio = std::exp(-0.5 * z * z - 0.5 * std::log(2.0 * std::numbers::pi) - log_chance);
    return {ratio, ratio * (ratio + z)};
}

// ln P(m >= 0) of m jointly normal, one margin after the other: each leaves the others the moments of a distribution
// cut at nothing (Mendell and Elston 1974, Biometrics 30, 41). Exact for one margin; for the few of a brew within a few
// hundredths. `least` are variances that no margin's falls below: one that is fixed by the others would be cut with a
// step, and beyond it no logarithm is left to compare by.
double log_chance_within(VectorXd mean, MatrixXd covariance, const VectorXd& least) {
    double sum = 0.0;
    const auto sd_of_margin = [&](Index j) { return std::sqrt(std::max(covariance(j, j), least[j])); };
    std::vector<Index> order(static_cast<std::size_t>(mean.size()));
    std::iota(order.begin(), order.end(), 0);
    std::ranges::sort(order, {}, [&](Index j) { return mean[j] / sd_of_margin(j); });
    for (const Index j : order) { // the tightest first: it shapes the others most
        const double sd = sd_of_margin(j), z = mean[j] / sd;
        const double log_chance = log_normal_below(z);
        sum += log_chance;
        const Cut cut = cut_below(z, log_chance);
        const VectorXd with_j = covariance.col(j) / sd;
        mean += with_j * cut.shift;
        covariance -= cut.drop * with_j * with_j.transpose();
    }
    return sum;
}

// ln of the likelihood at q, integrated over all states inside the limits, of (q, margins) jointly normal.
class Within {
public:
    Within(const VectorXd& mean, const MatrixXd& covariance) : mean_(mean), variance_(covariance(0, 0)) {
        const Index k = mean.size() - 1;
        with_q_ = covariance.col(0).tail(k) / variance_;
        least_ = (least_margin_share * least_margin_share * covariance.diagonal().tail(k)).cwiseMax(1e-30);
        rest_ = covariance.bottomRightCorner(k, k) - with_q_ * covariance.row(0).tail(k);
        for (Index j = 0; j < k; ++j) // q alone fixes the margin
            if (rest_(j, j) <= 1e-10 * covariance(j + 1, j + 1)) {
                rest_.row(j).setZero();
                rest_.col(j).setZero();
            }
    }
    double operator()(double q) const {
        const double off = q - mean_[0];
        return -0.5 * off * off / variance_ +
               log_chance_within(mean_.tail(mean_.size() - 1) + with_q_ * off, rest_, least_);
    }

private:
    VectorXd mean_, with_q_, least_;
    MatrixXd rest_;
    double variance_;
};

// A density at evenly spaced nodes, linear between them.
class Tabulated {
public:
    Tabulated(const Within& log_density, double low, double high, double top)
        : low_(low), width_((high - low) / steps) {
        for (int i = 0; i <= steps; ++i) { // the ends a hair inside: there may be a step at them
            const double node = std::clamp<double>(i, 1e-4, steps - 1e-4);
            density_.push_back(std::exp(log_density(low + node * width_) - top));
        }
        below_.push_back(0.0);
        for (std::size_t i = 0; i < steps; ++i)
            below_.push_back(below_.back() + 0.5 * width_ * (density_[i] + density_[i + 1]));
    }
    [[nodiscard]] double all() const { return below_.back(); }
    // where so much lies below
    [[nodiscard]] double place(double mass) const {
        const auto after = std::ranges::upper_bound(below_, mass) - below_.begin();
        const auto cell = static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(after - 1, 0, steps - 1));
        const double rest = mass - below_[cell], slope = (density_[cell + 1] - density_[cell]) / width_;
        const double root = std::sqrt(std::max(density_[cell] * density_[cell] + 2.0 * slope * rest, 0.0));
        const double x = 2.0 * rest / std::max(density_[cell] + root, 1e-300);
        return low_ + static_cast<double>(cell) * width_ + std::clamp(x, 0.0, width_);
    }

private:
    static constexpr int steps = 128;
    double low_, width_;
    std::vector<double> density_, below_;
};

// Where a density whose logarithm is concave is highest, to a thousandth of sd, looked for from `best` on.
double peak_of(const Within& log_density, double best, double sd) {
    const double here = log_density(best);
    double near = best, far = best;
    for (const double step : {0.25 * sd, -0.25 * sd}) {
        double reach = step, before = here;
        for (double there = log_density(best + reach); there > before; there = log_density(best + reach)) {
            near = best + 0.5 * reach;
            before = there;
            reach *= 2.0;
        }
        far = best + reach;
        if (before > here) break;
        if (step > 0.0) near = best + reach; // not on this side: the peak lies between the two steps about `best`
    }
    double low = std::min(near, far), high = std::max(near, far);
    while (high - low > 1e-3 * sd) {
        const double a = low + (high - low) / 3.0, b = high - (high - low) / 3.0;
        (log_density(a) < log_density(b) ? low : high) = log_density(a) < log_density(b) ? a : b;
    }
    return 0.5 * (low + high);
}

// The shortest interval that holds 90 % of a density whose logarithm is concave.
std::pair<double, double> shortest_90(const Within& log_density, double start, double sd) {
    constexpr double faint = 12.0; // ln: what lies below is nothing
    double best = peak_of(log_density, start, sd);
    if (log_density(start) > log_density(best)) best = start; // a step, at a limit that is the quantity itself
    const double top = log_density(best);
    const auto edge = [&](double direction) {
        double inside = 0.0, outside = 0.25;
        for (; outside < 64.0 && log_density(best + direction * outside * sd) > top - faint; outside *= 1.25)
            inside = outside;
        for (int i = 0; i < 16; ++i) { // a limit that q itself meets ends the density with a step
            const double middle = 0.5 * (inside + outside);
            (log_density(best + direction * middle * sd) > top - faint ? inside : outside) = middle;
        }
        return best + direction * inside * sd;
    };
    const Tabulated table(log_density, edge(-1.0), edge(1.0), top);
    const auto interval = [&](double left_out_below) {
        return std::pair(table.place(left_out_below * table.all()), table.place((left_out_below + 0.9) * table.all()));
    };
    const auto length = [&](double left_out_below) {
        const auto [low, high] = interval(left_out_below);
        return high - low;
    };
    double least = 0.0, most = 0.1; // the length has one minimum between them
    while (most - least > 1e-6) {
        const double a = least + (most - least) / 3.0, b = most - (most - least) / 3.0;
        (length(a) <= length(b) ? most : least) = length(a) <= length(b) ? b : a;
    }
    return interval(0.5 * (least + most));
}

} // namespace

Estimate Limited::estimate(double value, const VectorXd& gradient) const {
    if (near.empty()) return normal_estimate(value, sd_of(covariance, gradient));
    const auto k = static_cast<Index>(near.size());
    MatrixXd rows(k + 1, gradient.size());
    rows.row(0) = gradient.transpose();
    for (Index i = 0; i < k; ++i) rows.row(i + 1) = near[static_cast<std::size_t>(i)].a.transpose();
    const MatrixXd joint = stats::sandwich(rows, covariance);
    VectorXd mean = rows * (solution.theta + to_top);
    mean[0] = value + gradient.dot(to_top); // the quantity by its slope

    const double sd = std::sqrt(std::max(joint(0, 0), 0.0));
    if (sd <= 0.0) return normal_estimate(value, 0.0);
    auto [low, high] = shortest_90(Within(mean, joint), value, sd);
    low = std::min(low, value);
    high = std::max(high, value);
    return {value, (high - low) / (2.0 * z_95), low, high};
}

bool is_settled(const Limited& limited, const std::vector<Limit>& limits) {
    constexpr double open_step = 1e-4; // standard deviations
    const double rounded = rounding * limited.solution.theta.cwiseAbs().maxCoeff();
    const auto inside = [&](const Limit& limit) {
        return limit.a.dot(limited.solution.theta) > -open_step * sd_of(limited.free, limit.a) - rounded;
    };
    return limited.solution.remaining <= open_step && std::ranges::all_of(limits, inside);
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
    out.covariance = out.free.covariance;
    out.to_top = VectorXd::Zero(problem.start.size());
    if (held.empty()) return out;
    stats::LeastSquaresProblem here = problem;
    here.start = out.solution.theta;
    here.max_iterations = 0;
    const auto at = stats::solve(here);
    out.covariance = at.covariance;
    out.to_top = at.covariance * (at.jacobian.transpose() * (at.weight * at.residual));
    out.near.clear();
    for (const auto& limit : limits)
        if (limit.a.dot(out.solution.theta + out.to_top) < near_sd * sd_of(out.covariance, limit.a))
            out.near.push_back(limit);
    return out;
}

} // namespace lotwort::infer_detail
