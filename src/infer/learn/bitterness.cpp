#include "bitterness.hpp"
#include <cmath>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/stats/gaussian_model.hpp>
#include <lotwort/stats/scale_grid.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/boiling_point.hpp>

namespace lotwort::infer_detail {

namespace {

using stats::GaussianSolver;
using Want = GaussianSolver::Want;

// In ln of measured over foretold; judgement (docs/methods/learn.md).
constexpr double level_sd = 0.20;   // a house's vigour of boil, trub and yeast against the curve's
constexpr double beer_sd = 0.07;    // one beer about its house
constexpr double reading_sd = 0.05; // of a laboratory's figure

double value_of(const Reconciliation& r, const char* name) {
    for (const auto& [called, quantity] : r.quantities)
        if (called == name && quantity.estimate) return quantity.estimate->value;
    return 0.0;
}

const Reading* measured(const Brew& brew) {
    const Reading* found = nullptr;
    for (const auto& r : brew.readings)
        if (r.bitterness && !r.set_aside) found = &r;
    return found;
}
const Reading* measured(const Brew&&) = delete;

// A hop as it was used; a brew does not say how hot its stands were.
struct UsedHop {
    const Addition* addition;
    const UsedLot* used;
    Stage stage;
    Minutes minutes;
    std::optional<Celsius> temperature{};
};

std::vector<UsedHop> hops_of(const ReconcileInput& in) {
    std::vector<UsedHop> hops;
    for (const auto& addition : in.brew.additions) {
        const auto used = in.lots.find(addition.lot);
        if (used == in.lots.end() || used->second.item.kind != ItemKind::hop) continue;
        const auto minutes = addition.minutes.value_or(
            addition.stage == Stage::boil ? in.brew.boil.value_or(Minutes(0.0)) : Minutes(0.0));
        hops.push_back({&addition, &used->second, addition.stage, minutes});
    }
    return hops;
}
std::vector<UsedHop> hops_of(const ReconcileInput&&) = delete;

} // namespace

std::optional<Estimate> foretold_bitterness(const ReconcileInput& in) {
    const Reconciliation balance = reconcile(in);
    const double cast_out = value_of(balance, "cast_out_l"), fermenter = value_of(balance, "fermenter_l");
    const double full = value_of(balance, "kettle_full_sg"), out = value_of(balance, "cast_out_sg");
    if (cast_out <= 0.0 || fermenter <= 0.0 || full <= 0.0 || out <= 0.0) return std::nullopt;
    const double gravity = 0.5 * (full + out); // the boil's mean, as the forecast has it
    const double diluted = 1.0 - value_of(balance, "top_up_l") / fermenter;
    const Celsius boiling = Celsius(kit_of(in.brewhouse).boiling_c);
    const std::vector<UsedHop> hops = hops_of(in);
    const std::vector<Stand> stands = stands_of(hops);
    double units = 0.0, variance = 0.0;
    for (const UsedHop& hop : hops) {
        const auto worth = hop_minutes(hop.stage, hop.minutes, std::nullopt, boiling, stands);
        if (worth.minutes.value() <= 0.0) continue;
        const Figure alpha = hop_age(hop.used->item, hop.used->lot, in.brew.date).alpha_pct;
        const double per_alpha =
            diluted * wort::bitterness_ibu(to_grams(hop.addition->amount.kilograms()).value(), 1.0,
                                           wort::tinseth_utilisation(gravity, worth.minutes.value()), cast_out);
        units += per_alpha * alpha.value;
        variance += per_alpha * per_alpha * alpha.sd * alpha.sd;
    }
    if (units <= 0.0) return std::nullopt;
    return normal_estimate(units, std::sqrt(variance));
}

namespace {

// A brew whose malt cannot be reckoned with has no volume to foretell it in.
std::optional<Estimate> foretold_or_none(const ReconcileInput& in) {
    try {
        return foretold_bitterness(in);
    } catch (const Error&) {
        return std::nullopt;
    }
}

} // namespace

void learn_bitterness(const std::vector<const ReconcileInput*>& brews, Learning& out) {
    stats::GaussianModel m;
    const int scatter = m.add_scale(), house = m.add_unknown();
    m.say({{house, 1.0}}, 0.0, level_sd);
    int beers = 0;
    for (const auto* in : brews) {
        const Reading* reading = measured(in->brew);
        if (!reading || reading->bitterness->value() <= 0.0) continue;
        const auto foretold = foretold_or_none(*in);
        if (!foretold) continue;
        const int own = m.add_unknown();
        m.say({{own, 1.0}, {house, -1.0}}, 0.0, beer_sd, scatter);
        m.say({{own, 1.0}}, std::log(reading->bitterness->value() / foretold->value),
              std::hypot(reading_sd, foretold->sd / foretold->value));
        ++beers;
    }
    if (beers == 0) return;
    GaussianSolver solver(m);
    const auto grid = stats::integrate_scales({{0.0, 0.5}}, [&](const std::vector<double>& s, std::vector<double>& by) {
        const auto& fit = solver.fit(s, Want::variances);
        by = fit.gradient;
        return fit.log_likelihood;
    });
    double mean = 0.0, square = 0.0, own_square = 0.0;
    for (const auto& point : grid.points) {
        const auto& fit = solver.fit(point.log_scales, Want::variances);
        const auto k = static_cast<std::size_t>(house);
        mean += point.weight * fit.mean[k];
        square += point.weight * (fit.variance[k] + fit.mean[k] * fit.mean[k]);
        own_square += point.weight * beer_sd * beer_sd * std::exp(2.0 * point.log_scales[0]);
    }
    const double sd = std::sqrt(square - mean * mean), ratio = std::exp(mean);
    out.next.bitterness_ratio = ratio;
    out.next.bitterness_ratio_sd = ratio * std::hypot(sd, std::sqrt(own_square));
    out.others.emplace_back("bitterness measured over foretold", normal_estimate(ratio, ratio * sd));
}

} // namespace lotwort::infer_detail
