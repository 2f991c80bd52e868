#include "drift.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/stats/control_chart.hpp>

namespace lotwort::infer_detail {

namespace {

const char* const quantity_names[2] = {"conversion", "lauter"};

const std::vector<std::string> conversion_hints{
    "the crush: has the mill's gap moved, or the malt's moisture?",
    "the mash: thermometer, rest temperature and pH as meant?",
    "the liquor: its source and treatment, and the malts' certificates",
};
const std::vector<std::string> lauter_hints{
    "the run-off: faster than before?",
    "the grain bed: channels, cracks, finer crush, a stuck bed cut through?",
    "the sparge: its volume, its spread over the bed, its temperature",
};

} // namespace

HouseCharts::HouseCharts(const LearnModel& model, int house, const std::vector<double>& log_scales,
                         const std::vector<double>& lot_sd)
    : model_(model), house_(model.houses[static_cast<std::size_t>(house)]), lot_sd_(lot_sd),
      lot_slots_(model.lots.size(), -1), item_slots_(model.items.size(), -1), last_use_(model.lots.size(), -1),
      filter_(scan_window, 2) {
    for (const double s : log_scales) factor_.push_back(std::exp(s));
    for (std::size_t b = 0; b < model.brews.size(); ++b) {
        if (model.brews[b].house != house) continue;
        for (const auto& share : model.brews[b].evidence->shares)
            last_use_[static_cast<std::size_t>(model.lot_index.at(share.lot))] = static_cast<int>(brews_.size());
        brews_.push_back(static_cast<int>(b));
    }
    const auto& prior = house_.prior;
    for (std::size_t i = 0; i < 2; ++i) level_[i] = filter_.enter({}, prior.mean[i], prior.level_sd[i]);
    for (std::size_t i = 0; i < 3; ++i) constants_[i] = filter_.enter({}, prior.mean[2 + i], prior.level_sd[2 + i]);
    if (model.rest_slope >= 0) rest_ = filter_.enter({}, 0.0, rest_slope_sd);
    if (model.ph_slope >= 0) ph_ = filter_.enter({}, 0.0, ph_slope_sd);
    if (model.gap_slope >= 0) gap_ = filter_.enter({}, 0.0, gap_slope_sd);
}

const LearnModel::BrewAt& HouseCharts::brew(int i) const {
    return model_.brews[static_cast<std::size_t>(brews_[static_cast<std::size_t>(i)])];
}

int HouseCharts::lot_slot(int lot) {
    int& slot = lot_slots_[static_cast<std::size_t>(lot)];
    if (slot >= 0) return slot;
    const auto& at = model_.lots[static_cast<std::size_t>(lot)];
    int& item = item_slots_[static_cast<std::size_t>(at.item)];
    if (item < 0)
        item = filter_.enter({}, 0.0, model_.items[static_cast<std::size_t>(at.item)].sd * factor_[item_scatter]);
    return slot = filter_.enter({{item, 1.0}}, 0.0, lot_sd_[static_cast<std::size_t>(lot)]);
}

// The brew's rows, through its own conversion and lautering; returns their standardised innovations.
std::pair<double, double> HouseCharts::take_in(const LearnModel::BrewAt& at) {
    const BrewEvidence& e = *at.evidence;
    std::vector<stats::SlotTerm> mean{{level_[0], 1.0}};
    std::vector<int> leaving;
    for (const auto& share : e.shares) {
        const int lot = model_.lot_index.at(share.lot);
        mean.push_back({lot_slot(lot), share.share});
        if (last_use_[static_cast<std::size_t>(lot)] == taken_) leaving.push_back(lot);
    }
    if (e.mash_c) mean.push_back({rest_, *e.mash_c - rest_reference_c});
    if (e.mash_ph) mean.push_back({ph_, *e.mash_ph - ph_reference});
    if (e.mill_gap_mm) mean.push_back({gap_, *e.mill_gap_mm - *house_.gap_mm});
    const auto& scatter = house_.prior.scatter_sd;
    const int own[2] = {filter_.enter(mean, 0.0, scatter[0] * factor_[conversion_scatter]),
                        filter_.enter({{level_[1], 1.0}}, 0.0, scatter[1] * factor_[lauter_scatter])};
    const double before[2] = {filter_.mean(own[0]), filter_.mean(own[1])};
    const double width[2] = {filter_.variance(own[0]), filter_.variance(own[1])};
    for (const auto& row : with_house_scatter(e, house_.prior)) {
        std::vector<stats::SlotTerm> terms{{own[0], row.of[0]}, {own[1], row.of[1]}};
        for (std::size_t i = 0; i < 3; ++i) terms.push_back({constants_[i], row.of[2 + i]});
        filter_.observe(terms, row.value, 1.0, {row.of[0], row.of[1]});
    }
    double innovation[2];
    for (int i = 0; i < 2; ++i) {
        const double gained = width[i] - filter_.variance(own[i]); // how much the brew told
        innovation[i] = gained > 1e-6 * width[i] ? (filter_.mean(own[i]) - before[i]) / std::sqrt(gained) : 0.0;
        filter_.leave(own[i]);
    }
    for (const int lot : leaving) filter_.leave(std::exchange(lot_slots_[static_cast<std::size_t>(lot)], -1));
    return {innovation[0], innovation[1]};
}

void HouseCharts::chart(int q, double innovation) {
    ewma_[q] += ewma_lambda * (innovation - ewma_[q]);
    high_[q] = std::max(0.0, high_[q] + innovation - cusum_slack);
    low_[q] = std::max(0.0, low_[q] - innovation - cusum_slack);
    ++since_[q];
    now[q] = {innovation, ewma_[q] / stats::ewma_sd(ewma_lambda, 1.0, since_[q]), std::max(high_[q], low_[q]),
              filter_.best(q, taken_ + 1 - scan_least, step_size_sd, step_weight[q])};
}

bool HouseCharts::next() {
    if (taken_ == static_cast<int>(brews_.size())) return false;
    if (taken_ > 0) {
        filter_.wander(level_[0], at_rest_conversion_walk);
        filter_.wander(level_[1], at_rest_lauter_walk);
        filter_.candidate(0, taken_);
        filter_.candidate(1, taken_);
    }
    const auto [conversion, lauter] = take_in(brew(taken_));
    chart(0, conversion);
    chart(1, lauter);
    ++taken_;
    return true;
}

void HouseCharts::accept(const stats::StepEstimate& step) {
    filter_.accept(step, level_[step.track]);
    for (int q = 0; q < 2; ++q) ewma_[q] = high_[q] = low_[q] = 0.0, since_[q] = 0;
}

namespace {

Drift drift_of(const HouseCharts& charts, const stats::StepEstimate& step, const DriftLimits& limits) {
    Drift d;
    d.quantity = quantity_names[step.track];
    d.brewhouse = charts.brew(0).evidence->brewhouse;
    d.from_brew = charts.brew(step.from).evidence->brew;
    d.signalled_at = charts.brew(charts.taken() - 1).evidence->brew;
    const Estimate size = normal_estimate(step.size, step.sd);
    d.change = std::exp(step.size) - 1.0;
    d.sd = std::exp(step.size) * step.sd;
    d.low = std::exp(size.low) - 1.0;
    d.high = std::exp(size.high) - 1.0;
    // the limit is passed by one series of 30 in twenty, and the tail falls as a chi-square's does
    const double of_30 = std::min(1.0, 0.05 * std::exp(-0.5 * (step.evidence - limits.scan)));
    d.p_value = 1.0 - std::pow(1.0 - of_30, std::max(1.0, charts.taken() / 30.0));
    d.by = "step scan";
    if (std::abs(charts.now[step.track].ewma) > limits.ewma) d.by += ", ewma";
    if (charts.now[step.track].cusum > limits.cusum) d.by += ", cusum";
    d.hints = step.track == 0 ? conversion_hints : lauter_hints;
    return d;
}

// The more brews have been looked through, the more evidence chance alone comes to: the limit rises so that p in a
// series this long stays at 5 %.
double limit_after(int brews, double of_30) {
    return of_30 + 2.0 * std::log(std::max(1.0, brews / 30.0));
}

} // namespace

std::vector<Drift> find_drift(const LearnModel& model, const std::vector<double>& log_scales,
                              const std::vector<double>& lot_sd, const DriftLimits& limits) {
    std::vector<Drift> found;
    for (std::size_t h = 0; h < model.houses.size(); ++h) {
        HouseCharts charts(model, static_cast<int>(h), log_scales, lot_sd);
        while (charts.next()) {
            const auto& conversion = charts.now[0].step;
            const auto& lauter = charts.now[1].step;
            const auto& stronger = conversion.evidence >= lauter.evidence ? conversion : lauter;
            if (stronger.evidence <= limit_after(charts.taken(), limits.scan)) continue;
            found.push_back(drift_of(charts, stronger, limits));
            const auto& other = conversion.evidence >= lauter.evidence ? lauter : conversion;
            if (other.evidence > 0.7 * stronger.evidence)
                found.back().hints.push_back("it may as well be the " +
                                             std::string(other.track == 0 ? "conversion" : "lautering") +
                                             ": the mash's end was seldom read, and only that tells them apart");
            charts.accept(stronger);
        }
    }
    return found;
}

} // namespace lotwort::infer_detail
