#include "drift.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/stats/control_chart.hpp>

namespace lotwort::infer_detail {

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
    std::array<int, house_figures> slot{};
    for (const HouseFigure f : HousePrior::said_in) {
        const auto i = static_cast<std::size_t>(f);
        std::vector<stats::SlotTerm> before;
        for (std::size_t j = 0; j < house_figures; ++j)
            if (prior.follows[i][j] != 0.0) before.push_back({slot[j], prior.follows[i][j]});
        slot[i] = filter_.enter(before, prior.constant(i), prior.apart_sd[i]);
    }
    for (std::size_t i = 0; i < 2; ++i) level_[i] = slot[i];
    for (std::size_t i = 0; i < 3; ++i) constants_[i] = slot[2 + i];
    for (const auto& at : model.instruments) {
        const CheckedError lasting = believed(at.instrument.checks);
        instruments_.push_back(filter_.enter({}, lasting.value, lasting.sd));
    }
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
    if (item < 0) item = filter_.enter({}, 0.0, model_.items[static_cast<std::size_t>(at.item)].sd);
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
    const int own[2] = {filter_.enter(mean, 0.0, scatter[0] * factor_[brew_scatter]),
                        filter_.enter({{level_[1], 1.0}}, 0.0, scatter[1] * factor_[brew_scatter])};
    const double before[2] = {filter_.mean(own[0]), filter_.mean(own[1])};
    const double width[2] = {filter_.variance(own[0]), filter_.variance(own[1])};
    for (const auto& row : with_house_scatter(e, house_.prior, factor_[kit_scatter])) {
        std::vector<stats::SlotTerm> terms{{own[0], row.of[0]}, {own[1], row.of[1]}};
        for (std::size_t i = 0; i < 3; ++i) terms.push_back({constants_[i], row.of[2 + i]});
        for (std::size_t i = 0; i < row.lasting.size(); ++i) {
            const int at = model_.instrument_index.at(e.instruments[i].key);
            terms.push_back({instruments_[static_cast<std::size_t>(at)], row.lasting[i]});
        }
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
              filter_.best(q, taken_ + 1 - scan_least, scan_size_sd, scan_weight[q])};
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

std::vector<std::vector<Signal>> chart_signals(const LearnModel& model, const std::vector<double>& log_scales,
                                               const std::vector<double>& lot_sd, const DriftLimits& limits) {
    std::vector<std::vector<Signal>> found(model.houses.size());
    for (std::size_t h = 0; h < model.houses.size(); ++h) {
        HouseCharts charts(model, static_cast<int>(h), log_scales, lot_sd);
        while (charts.next()) {
            Signal signal{charts.taken() - 1};
            for (const auto& now : charts.now) {
                signal.scan = signal.scan || now.step.evidence > limits.scan;
                signal.ewma = signal.ewma || std::abs(now.ewma) > limits.ewma;
                signal.cusum = signal.cusum || now.cusum > limits.cusum;
            }
            if (signal.scan || signal.ewma || signal.cusum) found[h].push_back(signal);
            const auto& stronger = charts.now[charts.now[0].step.evidence >= charts.now[1].step.evidence ? 0 : 1].step;
            if (signal.scan) charts.accept(stronger);
        }
    }
    return found;
}

} // namespace lotwort::infer_detail
