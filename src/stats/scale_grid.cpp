#include "decompositions.hpp"
#include <algorithm>
#include <cmath>
#include <Eigen/Eigenvalues>
#include <lotwort/core/error.hpp>
#include <lotwort/stats/scale_grid.hpp>

namespace lotwort::stats {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int most_steps = 40;
constexpr double flat = 2e-3;      // length of the slope (in prior widths) at which the mode is near enough
constexpr double reach = 6.0;      // prior widths beyond which no scale is sought
constexpr double star_reach = 1.1; // f0

// The negative log posterior in prior widths u = (s - m)/w.
class Target {
public:
    Target(const std::vector<ScalePrior>& priors, const ScaleLikelihood& likelihood)
        : priors_(priors), likelihood_(likelihood) {}

    double operator()(const VectorXd& u, VectorXd& slope) {
        ++evaluations;
        std::vector<double> by_scale;
        const double ln = likelihood_(scales(u), by_scale);
        slope = u;
        for (Index i = 0; i < u.size(); ++i)
            slope[i] -= by_scale[static_cast<std::size_t>(i)] * priors_[static_cast<std::size_t>(i)].width;
        return 0.5 * u.squaredNorm() - ln;
    }
    [[nodiscard]] std::vector<double> scales(const VectorXd& u) const {
        std::vector<double> s;
        for (Index i = 0; i < u.size(); ++i) {
            const auto& prior = priors_[static_cast<std::size_t>(i)];
            s.push_back(prior.mean + prior.width * u[i]);
        }
        return s;
    }
    // The larger of a move's length in prior widths and its largest change of a logarithm.
    [[nodiscard]] double longest(const VectorXd& move) const {
        double most = move.norm();
        for (Index i = 0; i < move.size(); ++i)
            most = std::max(most, std::abs(move[i]) * priors_[static_cast<std::size_t>(i)].width);
        return most;
    }
    int evaluations = 0;

private:
    const std::vector<ScalePrior>& priors_;
    const ScaleLikelihood& likelihood_;
};

struct Mode {
    VectorXd u, slope;
    double value = 0.0;
};

Mode find_mode(Target& target, VectorXd from) {
    const Index k = from.size();
    Mode at{std::move(from), {}, 0.0};
    at.value = target(at.u, at.slope);
    MatrixXd inverse = MatrixXd::Identity(k, k);
    for (int step = 0; step < most_steps && at.slope.norm() > flat; ++step) {
        VectorXd direction = -inverse * at.slope;
        if (direction.dot(at.slope) >= 0.0) {
            inverse.setIdentity();
            direction = -at.slope;
        }
        const double longest = target.longest(direction);
        if (longest > 1.5) direction *= 1.5 / longest;
        double length = 1.0;
        Mode next;
        bool found = false;
        for (int halving = 0; halving < 12 && !found; ++halving, length *= 0.4) {
            next.u = (at.u + length * direction).cwiseMax(-reach).cwiseMin(reach);
            next.value = target(next.u, next.slope);
            found = next.value <= at.value + 1e-4 * at.slope.dot(next.u - at.u);
        }
        if (!found) break;
        const VectorXd moved = next.u - at.u, turned = next.slope - at.slope;
        const double curvature = moved.dot(turned);
        if (curvature > 1e-10 * moved.norm() * turned.norm()) {
            const VectorXd seen = inverse * turned; // BFGS: (I - s y'/c) H (I - y s'/c) + s s'/c, multiplied out
            const VectorXd along = (0.5 * (1.0 + turned.dot(seen) / curvature) * moved - seen) / curvature;
            inverse += moved * along.transpose() + along * moved.transpose();
        }
        const bool still = at.value - next.value < 1e-9 * (1.0 + std::abs(at.value));
        at = next;
        if (still) break;
    }
    return at;
}

// Unit directions in k dimensions.
std::vector<VectorXd> directions_of(Design design, Index k) {
    std::vector<VectorXd> out;
    if (design == Design::mode) return out;
    for (Index i = 0; i < k; ++i)
        for (const double side : {-1.0, 1.0}) out.push_back(side * VectorXd::Unit(k, i));
    if (k < 2) return out;
    for (unsigned corner = 0; corner < (1U << (k - 1)); ++corner) {
        VectorXd v(k);
        double product = 1.0;
        for (Index i = 0; i + 1 < k; ++i) product *= v[i] = (corner >> i) & 1U ? 1.0 : -1.0;
        v[k - 1] = product;
        out.push_back(v / std::sqrt(static_cast<double>(k)));
    }
    return out;
}

// The principal axes, each as long as one sd, that are not sharp.
MatrixXd open_axes(const std::vector<ScalePrior>& priors, const MatrixXd& vectors, const VectorXd& bend, double sharp) {
    std::vector<VectorXd> open;
    for (Index i = 0; i < bend.size(); ++i) {
        const VectorXd axis = vectors.col(i) / std::sqrt(bend[i]);
        double most = 0.0; // change of a logarithm
        for (Index j = 0; j < axis.size(); ++j)
            most = std::max(most, std::abs(axis[j]) * priors[static_cast<std::size_t>(j)].width);
        if (most >= sharp) open.push_back(axis);
    }
    MatrixXd out(bend.size(), static_cast<Index>(open.size()));
    for (std::size_t i = 0; i < open.size(); ++i) out.col(static_cast<Index>(i)) = open[i];
    return out;
}

MatrixXd curvature_at(Target& target, const Mode& mode) {
    constexpr double step = 0.05;
    const Index k = mode.u.size();
    MatrixXd hessian(k, k);
    for (Index i = 0; i < k; ++i) {
        VectorXd u = mode.u, slope;
        u[i] += step;
        target(u, slope);
        hessian.col(i) = (slope - mode.slope) / step;
    }
    return 0.5 * (hessian + hessian.transpose());
}

} // namespace

ScaleGrid integrate_scales(const std::vector<ScalePrior>& priors, const ScaleLikelihood& likelihood, Design design,
                           double sharp, const std::vector<double>& start) {
    const auto k = static_cast<Index>(priors.size());
    LOTWORT_CHECK(k > 0 && (start.empty() || start.size() == priors.size()));
    Target target(priors, likelihood);
    VectorXd from = VectorXd::Zero(k);
    for (std::size_t i = 0; i < start.size(); ++i)
        from[static_cast<Index>(i)] = (start[i] - priors[i].mean) / priors[i].width;
    const Mode mode = find_mode(target, std::move(from));
    const Eigen::SelfAdjointEigenSolver<MatrixXd> axes(curvature_at(target, mode));
    // the prior alone bends by 1 in these units; what bends less is noise of the differences
    const VectorXd bend = axes.eigenvalues().cwiseMax(0.25);
    const MatrixXd covariance = sandwich(axes.eigenvectors(), MatrixXd(bend.cwiseInverse().asDiagonal()));

    ScaleGrid out;
    out.mode = target.scales(mode.u);
    out.log_posterior = -mode.value;
    for (Index i = 0; i < k; ++i)
        out.sd.push_back(priors[static_cast<std::size_t>(i)].width * std::sqrt(covariance(i, i)));
    out.points.push_back({out.mode, 1.0});
    const MatrixXd spread = open_axes(priors, axes.eigenvectors(), bend, sharp);
    const auto directions = directions_of(design, spread.cols());
    const double radius = star_reach * std::sqrt(static_cast<double>(spread.cols()));
    const double each = 1.0 / (static_cast<double>(directions.size()) * (star_reach * star_reach - 1.0));
    double sum = 1.0;
    for (const VectorXd& direction : directions) {
        VectorXd u = mode.u + radius * spread * direction, slope;
        const double drop = target(u, slope) - mode.value;
        // a tail far heavier than the normal one must not outweigh the middle
        const double weight = each * std::exp(std::min(0.5 * radius * radius - drop, 2.0));
        out.points.push_back({target.scales(u), weight});
        sum += weight;
    }
    for (auto& point : out.points) point.weight /= sum;
    // a normal posterior's weights sum to this: what they come to beside it is how much wider the true one is
    const double normal = directions.empty() ? 1.0 : 1.0 + 1.0 / (star_reach * star_reach - 1.0);
    out.log_evidence = -mode.value - 0.5 * bend.array().log().sum() + std::log(sum / normal);
    out.evaluations = target.evaluations;
    return out;
}

} // namespace lotwort::stats
