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
             std::size_t change, double weight, FittedLot& out) {
    const auto& at = model.lots[i];
    const int item = model.items[static_cast<std::size_t>(at.item)].unknown;
    const auto x = static_cast<std::size_t>(at.unknown), u = static_cast<std::size_t>(item);
    const double shared = solver.covariance(at.unknown, item);
    const double d_mean = fit.mean[x] - fit.mean[u];
    const double d_variance = fit.variance[x] + fit.variance[u] - 2.0 * shared;
    const double slope = (fit.variance[x] - shared) / d_variance;
    const stats::Doubted& d = fit.doubted[static_cast<std::size_t>(at.doubt)];
    out.in_model.resize(std::max(out.in_model.size(), change + 1));
    for (int c = 0; c < 2; ++c) {
        const double share = c == 1 ? d.probability_wide : 1.0 - d.probability_wide;
        for (Mixture* mixture : {&out.difference, &out.in_model[change]})
            mixture->add(weight * share, fit.mean[x] + slope * (d.mean[c] - d_mean),
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

// Of an unknown whose prior's sentence is doubted: the two-part mixture.
void add_offset(const stats::GaussianFit& fit, int doubt, double weight, FittedOffset& out) {
    const stats::Doubted& d = fit.doubted[static_cast<std::size_t>(doubt)];
    out.offset.add(weight * (1.0 - d.probability_wide), d.mean[0], d.variance[0]);
    out.offset.add(weight * d.probability_wide, d.mean[1], d.variance[1]);
    out.if_beyond.add(weight, d.mean[1], d.variance[1]);
    out.beyond += weight * d.probability_wide;
}

void add_point(const LearnModel& model, const GaussianSolver& solver, const stats::GaussianFit& fit, std::size_t change,
               double weight, FittedModel& out) {
    for (std::size_t i = 0; i < model.lots.size(); ++i) add_lot(model, solver, fit, i, change, weight, out.lots[i]);
    for (std::size_t i = 0; i < model.instruments.size(); ++i)
        add_offset(fit, model.instruments[i].doubt, weight, out.instruments[i]);
    for (std::size_t h = 0; h < model.houses.size(); ++h)
        for (std::size_t k = 0; k < 3; ++k) add_offset(fit, model.houses[h].doubts[k], weight, out.houses[h][k]);
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
        add(level.own_conversion, at.own[0]);
        add(level.own_lauter, at.own[1]);
        // transfer goes with what was left in the kettle, beside where the balance was made linear
        const int of[3] = {at.conversion, at.lauter, at.own[static_cast<std::size_t>(HouseFigure::kettle_loss)]};
        const double by_loss = -1.0 / at.evidence->fermenter_l;
        const double times[3] = {1.0, 1.0, by_loss};
        double mean = -by_loss * at.evidence->at[static_cast<std::size_t>(HouseFigure::kettle_loss)], variance = 0.0;
        for (int i = 0; i < 3; ++i) {
            mean += times[i] * fit.mean[static_cast<std::size_t>(of[i])];
            variance += times[i] * times[i] * fit.variance[static_cast<std::size_t>(of[i])];
            for (int j = 0; j < i; ++j) variance += 2.0 * times[i] * times[j] * solver.covariance(of[i], of[j]);
        }
        level.both.add(weight, mean, variance);
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

stats::ScaleGrid at_one_point(const stats::ScaleGrid& grid) {
    stats::ScaleGrid out = grid;
    out.points = {{grid.mode, 1.0}};
    for (std::size_t s = 0; s < grid.mode.size(); ++s) {
        double square = 0.0;
        for (const auto& point : grid.points) square += point.weight * std::exp(2.0 * point.log_scales[s]);
        out.points.front().log_scales[s] = 0.5 * std::log(square);
    }
    return out;
}

stats::ScaleGrid find_scales(GaussianSolver& solver, const LearnModel& model,
                             const std::vector<GaussianSolver::Widened>& widened, const std::vector<double>& start) {
    const std::size_t brews = model.brews.size();
    if (brews == 0) return stated_scales();
    constexpr std::size_t enough_for_mode = 250;
    const auto design = brews <= enough_for_mode ? stats::Design::composite : stats::Design::mode;
    const auto likelihood = [&](const std::vector<double>& s, std::vector<double>& slope) {
        const auto& fit = solver.fit(s, Want::variances, rounds_while_seeking, widened);
        slope = fit.gradient;
        return fit.log_likelihood;
    };
    return stats::integrate_scales(LearnModel::priors(), likelihood, design, sharp_enough, start);
}

stats::ScaleGrid find_scales(const LearnModel& model) {
    GaussianSolver solver(model.model);
    return find_scales(solver, model, {}, {});
}

std::vector<ChangeModel> changes_at_one_point(const LearnModel& model) {
    auto changes = find_changes(model, without_steps(find_scales(model)), Seek::quickly);
    for (auto& change : changes) change.grid = at_one_point(change.grid);
    return changes;
}

const std::vector<double>& likeliest_scales(const FittedModel& fitted) {
    return fitted.changes.front().grid.mode;
}

FittedModel fit_model(const LearnModel& model, std::vector<ChangeModel> changes,
                      const std::vector<std::vector<stats::Term>>& combinations,
                      const std::vector<std::vector<stats::Term>>& by_model) {
    GaussianSolver solver(model.model);
    FittedModel out;
    out.lots.resize(model.lots.size());
    out.items.resize(model.items.size());
    out.instruments.resize(model.instruments.size());
    out.houses.resize(model.houses.size());
    out.levels.resize(model.brews.size());
    out.scale_squares.assign(scale_names, 0.0);
    const auto k = combinations.size();
    out.joint_mean.assign(k, 0.0);
    out.joint_covariance.assign(k * k, 0.0);
    out.in_model.assign(by_model.size(), std::vector<Mixture>(changes.size()));
    for (std::size_t m = 0; m < changes.size(); ++m) {
        const auto widened = widened_by(model, changes[m].steps);
        for (const auto& point : changes[m].grid.points) {
            const double weight = changes[m].weight * point.weight;
            const auto& fit = solver.fit(point.log_scales, Want::variances, rounds_at_a_point, widened);
            if (m == 0 && &point == &changes[m].grid.points.front()) out.log_likelihood = fit.log_likelihood;
            add_point(model, solver, fit, m, weight, out);
            for (std::size_t s = 0; s < scale_names; ++s)
                out.scale_squares[s] += weight * std::exp(2.0 * point.log_scales[s]);
            const auto each = solver.each(by_model);
            for (std::size_t i = 0; i < each.size(); ++i)
                out.in_model[i][m].add(weight, each[i].mean, each[i].variance);
            const auto joint = solver.joint(combinations);
            for (std::size_t i = 0; i < k; ++i) {
                out.joint_mean[i] += weight * joint.mean[i];
                for (std::size_t j = 0; j < k; ++j)
                    out.joint_covariance[i * k + j] +=
                        weight * (joint.covariance[i * k + j] + joint.mean[i] * joint.mean[j]);
            }
        }
    }
    for (std::size_t i = 0; i < k; ++i)
        for (std::size_t j = 0; j < k; ++j) out.joint_covariance[i * k + j] -= out.joint_mean[i] * out.joint_mean[j];
    out.changes = std::move(changes);
    return out;
}

std::vector<double> chart_scatter(const LearnModel& model, const FittedModel& fitted) {
    std::vector<double> sd;
    for (std::size_t i = 0; i < model.lots.size(); ++i) {
        const double odd = fitted.lots[i].probability_odd;
        sd.push_back(model.lots[i].prior.lot_sd * std::exp(likeliest_scales(fitted)[lot_scatter]) *
                     std::sqrt(1.0 - odd + odd * odd_widening * odd_widening));
    }
    return sd;
}

} // namespace lotwort::infer_detail
