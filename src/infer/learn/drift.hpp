// Control charts over a house's brews in their order, as a brewer would keep them: what they say beside the models of
// change.hpp.
#pragma once

#include "model.hpp"
#include <lotwort/stats/step_scan.hpp>
#include <vector>

namespace lotwort::infer_detail {

// Limits that a brewhouse at rest passes in one of twenty series of 30 brews, for each chart over both quantities; set
// by simulation with the scales estimated (docs/methods/learn.md).
struct DriftLimits {
    double scan = 9.45; // evidence of a step
    double ewma = 3.15; // in its own sd
    double cusum = 5.3; // in sd of an innovation
};
// What a brewhouse at rest still moves from brew to brew, in ln: the charts look for more than that. Not the walk that
// the brews themselves suggest - a step widens that, and would hide behind it.
inline constexpr double at_rest_conversion_walk = 0.0005, at_rest_lauter_walk = 0.0004;
inline constexpr double ewma_lambda = 0.2, cusum_slack = 0.5;
inline constexpr double scan_size_sd = 0.04; // steps that are sought, in ln
// A step in conversion is three times as likely beforehand as one in lautering: crush, mash, liquor and malt all reach
// it. A step in lautering of the same size stands out more, so that it loses little by that.
inline constexpr double scan_weight[2] = {1.5, 0.5};
inline constexpr int scan_window = 24,
                     scan_least = 3; // candidates kept; brews a step must have run before it may signal

// What the charts show after each brew, for one quantity.
struct ChartPoint {
    double innovation = 0.0;  // standardised, of what the brew showed of the quantity
    double ewma = 0.0;        // in its own sd
    double cusum = 0.0;       // the larger side
    stats::StepEstimate step; // of the strongest candidate
};

// The three charts over one house's brews in their order.
class HouseCharts {
public:
    // lot_sd: relative scatter of each of model.lots as the charts expect it.
    HouseCharts(const LearnModel& model, int house, const std::vector<double>& log_scales,
                const std::vector<double>& lot_sd);
    // Takes the next brew in; false where there is none. Then `now` holds [0] conversion, [1] lautering.
    bool next();
    ChartPoint now[2];
    [[nodiscard]] int taken() const { return taken_; }         // brews so far
    [[nodiscard]] const LearnModel::BrewAt& brew(int i) const; // of this house, from 0
    void accept(const stats::StepEstimate& step);              // the charts start afresh from it
    [[nodiscard]] double log_likelihood() const { return filter_.log_likelihood(); }

private:
    int lot_slot(int lot);
    std::pair<double, double> take_in(const LearnModel::BrewAt& at);
    void chart(int quantity, double innovation);

    const LearnModel& model_;
    const House& house_;
    std::vector<double> factor_; // exp of the log scales
    const std::vector<double>& lot_sd_;
    std::vector<int> instruments_, brews_, lot_slots_, item_slots_, last_use_;
    stats::StepFilter filter_;
    std::array<int, 3> constants_{};
    int level_[2] = {}, rest_ = -1, ph_ = -1, gap_ = -1;
    int taken_ = 0, since_[2] = {};
    double ewma_[2] = {}, high_[2] = {}, low_[2] = {};
};

// A brew at which a chart signals, and which ones.
struct Signal {
    int place = 0; // of its house
    bool scan = false, ewma = false, cusum = false;
};
// Of each house, in its order; the charts start afresh after each step that the scan signals.
[[nodiscard]] std::vector<std::vector<Signal>> chart_signals(const LearnModel& model,
                                                             const std::vector<double>& log_scales,
                                                             const std::vector<double>& lot_sd,
                                                             const DriftLimits& limits = {});

} // namespace lotwort::infer_detail
