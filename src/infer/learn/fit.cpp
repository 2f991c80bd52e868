#include "fit.hpp"
#include <cmath>
#include <lotwort/stats/distributions.hpp>

namespace lotwort::infer_detail {

namespace {

using stats::GaussianSolver;
using Want = GaussianSolver::Want;

constexpr int rounds_while_seeking = 2, rounds_at_a_point = 4;
constexpr double sharp_enough = 0.12;

// Of x = lot, given its sentence's own quantity d = lot - item under either reading of it: x moves with d by
// regression.
void add_lot(const LearnModel& model, const GaussianSolver& solver, const stats::GaussianFit& fit, std::size_t i,
             double weight, FittedLot& out) {
    const auto& at = model.lots[i];
    const int item = model.items[static_cast<std::size_t>(at.item)].unknown;
    const auto x = static_cast<std::size_t>(at.unknown), u = static_cast<std::size_t>(item);
    const double shared = solver.covariance(at.unknown, item);
    const double d_mean = fit.mean[x] - fit.mean[u];
    const double d_variance = fit.variance[x] + fit.variance[u] - 2.0 * shared;
    const double slope = (fit.variance[x] - shared) / d_variance;
    const stats::Doubted& d = fit.doubted[i];
    for (int c = 0; c < 2; ++c) {
        const double share = c == 1 ? d.probability_wide : 1.0 - d.probability_wide;
        out.difference.add(weight * share, fit.mean[x] + slope * (d.mean[c] - d_mean),
                           fit.variance[x] - slope * slope * (d_variance - d.variance[c]));
    }
    out.if_ordinary.add(weight, fit.mean[x] + slope * (d.mean[0] - d_mean),
                        fit.variance[x] - slope * slope * (d_variance - d.variance[0]));
    out.if_odd.add(weight, fit.mean[x] + slope * (d.mean[1] - d_mean),
                   fit.variance[x] - slope * slope * (d_variance - d.variance[1]));
    out.own_if_odd.add(weight, d.mean[1], d.variance[1]);
    out.probability_odd += weight * d.probability_wide;
    const double z2 = d.cavity_mean * d.cavity_mean / (d.cavity_variance + d.sd * d.sd);
    out.p_value += weight * stats::chi_square_upper_tail(z2, 1);
}

void add_point(const LearnModel& model, const GaussianSolver& solver, const stats::GaussianFit& fit, double weight,
               FittedModel& out) {
    for (std::size_t i = 0; i < model.lots.size(); ++i) add_lot(model, solver, fit, i, weight, out.lots[i]);
    const auto add = [&](Mixture& m, int unknown) {
        const auto k = static_cast<std::size_t>(unknown);
        m.add(weight, fit.mean[k], fit.variance[k]);
    };
    for (std::size_t j = 0; j < model.items.size(); ++j) add(out.items[j], model.items[j].unknown);
    for (std::size_t b = 0; b < model.brews.size(); ++b) {
        const auto& at = model.brews[b];
        auto& level = out.levels[b];
        add(level.conversion, at.conversion);
        add(level.lauter, at.lauter);
        add(level.own_conversion, at.own_conversion);
        add(level.own_lauter, at.own_lauter);
        const auto c = static_cast<std::size_t>(at.conversion), l = static_cast<std::size_t>(at.lauter);
        level.both.add(weight, fit.mean[c] + fit.mean[l],
                       fit.variance[c] + fit.variance[l] + 2.0 * solver.covariance(at.conversion, at.lauter));
    }
}

} // namespace

stats::ScaleGrid stated_scales() {
    stats::ScaleGrid grid;
    grid.mode.assign(scale_names, 0.0);
    grid.sd.assign(std::begin(scale_widths), std::end(scale_widths));
    grid.points.push_back({grid.mode, 1.0});
    return grid;
}

stats::ScaleGrid find_scales(const LearnModel& model) {
    if (model.brews.empty()) return stated_scales();
    const std::size_t brews = model.brews.size();
    const auto design = brews <= 250          ? stats::Design::composite
                        : brews <= many_brews ? stats::Design::star
                                              : stats::Design::mode;
    GaussianSolver solver(model.model);
    const auto likelihood = [&](const std::vector<double>& s, std::vector<double>& slope) {
        const auto& fit = solver.fit(s, Want::variances, rounds_while_seeking);
        slope = fit.gradient;
        return fit.log_likelihood;
    };
    return stats::integrate_scales(LearnModel::priors(), likelihood, design, sharp_enough);
}

FittedModel fit_model(const LearnModel& model, const stats::ScaleGrid& grid,
                      const std::vector<std::vector<stats::Term>>& combinations) {
    GaussianSolver solver(model.model);
    FittedModel out;
    out.grid = grid;
    out.lots.resize(model.lots.size());
    out.items.resize(model.items.size());
    out.levels.resize(model.brews.size());
    out.scale_squares.assign(scale_names, 0.0);
    const auto k = combinations.size();
    out.joint_mean.assign(k, 0.0);
    out.joint_covariance.assign(k * k, 0.0);
    for (const auto& point : out.grid.points) {
        const auto& fit = solver.fit(point.log_scales, Want::variances, rounds_at_a_point);
        if (&point == &out.grid.points.front()) out.log_likelihood = fit.log_likelihood;
        add_point(model, solver, fit, point.weight, out);
        for (std::size_t s = 0; s < scale_names; ++s)
            out.scale_squares[s] += point.weight * std::exp(2.0 * point.log_scales[s]);
        if (k == 0) continue;
        const auto joint = solver.joint(combinations);
        for (std::size_t i = 0; i < k; ++i) {
            out.joint_mean[i] += point.weight * joint.mean[i];
            for (std::size_t j = 0; j < k; ++j)
                out.joint_covariance[i * k + j] +=
                    point.weight * (joint.covariance[i * k + j] + joint.mean[i] * joint.mean[j]);
        }
    }
    for (std::size_t i = 0; i < k; ++i)
        for (std::size_t j = 0; j < k; ++j) out.joint_covariance[i * k + j] -= out.joint_mean[i] * out.joint_mean[j];
    return out;
}

std::vector<double> chart_scatter(const LearnModel& model, const FittedModel& fitted) {
    std::vector<double> sd;
    for (std::size_t i = 0; i < model.lots.size(); ++i) {
        const double odd = fitted.lots[i].probability_odd;
        sd.push_back(model.lots[i].prior.lot_sd * std::exp(fitted.grid.mode[lot_scatter]) *
                     std::sqrt(1.0 - odd + odd * odd_widening * odd_widening));
    }
    return sd;
}

} // namespace lotwort::infer_detail
