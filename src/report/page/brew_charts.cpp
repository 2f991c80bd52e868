#include "brew_charts.hpp"
#include "parts.hpp"
#include "reconcile_words.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>

namespace lotwort::report {

std::string efficiencies_chart(const Reconciliation& result) {
    RangeChart chart;
    double low = 0.6, high = 1.0;
    Table figures{{{"Efficiency"}, {"Value, %", Align::right}, {"9 times in 10", Align::right}}, {}};
    std::string unknown;
    for (const auto& [name, said, estimated] : named(result.efficiencies)) {
        if (!estimated.estimate) {
            unknown += fmt::format(" {}: {}.", said, estimated.reason);
            figures.rows.push_back({std::string(said), "not known"});
            continue;
        }
        const Estimate& e = *estimated.estimate;
        RangeRow row{std::string(said), share_said(e), 100.0 * e.value, 100.0 * e.low, 100.0 * e.high};
        row.is_answer = name == "brewhouse";
        chart.rows.push_back(row);
        figures.rows.push_back({std::string(said), with_sd(100.0 * e.value, 100.0 * e.sd, {}, 1),
                                fmt::format("{} to {}", fixed(100.0 * e.low, 1), fixed(100.0 * e.high, 1))});
        low = std::min(low, e.low);
        high = std::max(high, e.high);
    }
    if (chart.rows.empty()) return "";
    chart.words = {
        "efficiencies", "Efficiencies",
        fmt::format("The efficiency of each step with the interval that holds it nine times in ten, of {} "
                    "readings and what the brewhouse is expected to do.",
                    result.readings_used),
        "Conversion, kettle yield and brewhouse: of the extract in the grist; lauter: of what dissolved; transfer: of "
        "the cast-out's. Line: where it lies nine times in ten." +
            unknown,
        std::move(figures)};
    chart.axis = number_axis("of the extract, %", std::max(100.0 * low, 0.0), 100.0 * high);
    return range_chart(chart);
}

namespace {

std::optional<Estimate> quantity(const Reconciliation& result, std::string_view name) {
    const auto found = std::ranges::find(result.quantities, name, &std::pair<std::string, Estimated>::first);
    return found == result.quantities.end() ? std::nullopt : found->second.estimate;
}

struct Stop {
    std::string_view quantity; // its name in the reconciliation
    std::string_view said;
    std::string_view lost, added; // on the way to the next
};

constexpr Stop stops[] = {
    {"extract_grist_kg", "in the grist", "not dissolved", "more than certified"},
    {"extract_mash_kg", "in the mash", "left in the grains", "won besides"},
    {"extract_kettle_kg", "in the kettle", "lost in the boil", "sugar added"},
    {"extract_cast_out_kg", "at cast-out", "left with trub and hops", "added"},
    {"extract_fermenter_kg", "in the fermenter", "", ""},
};

} // namespace

std::string flow_of_extract(const Reconciliation& result) {
    FlowChart chart;
    Table figures{{{"Extract"}, {"Mass, kg", Align::right}, {"Of the grist, %", Align::right}}, {}};
    for (const Stop& stop : stops) {
        const auto e = quantity(result, stop.quantity);
        if (!e || e->value <= 0.0) return "";
        chart.stages.push_back({std::string(stop.said), with_sd(e->value, e->sd, "kg", 3), e->value, "", ""});
    }
    const double grist = chart.stages.front().amount;
    for (std::size_t i = 0; i < chart.stages.size(); ++i) {
        FlowStage& stage = chart.stages[i];
        figures.rows.push_back(
            {stage.name, stage.said.substr(0, stage.said.find(" kg")), fixed(100.0 * stage.amount / grist, 1)});
        if (i + 1 == chart.stages.size()) break;
        const double lost = stage.amount - chart.stages[i + 1].amount;
        if (std::abs(lost) < 0.0005 * grist) continue;
        stage.lost = lost > 0.0 ? stops[i].lost : stops[i].added;
        stage.lost_said = part_said(std::abs(lost), grist, "kg");
        figures.rows.push_back({stage.lost, fixed(-lost, 3), fixed(-100.0 * lost / grist, 1)});
    }
    const FlowStage& end = chart.stages.back();
    chart.words = {"extract", "Where the extract went",
                   fmt::format("Of {} of extract in the grist, {} came into the fermenter; what was lost between is "
                               "named at each step.",
                               chart.stages.front().said, end.said),
                   "As wide as its mass. Per cent are of the grist's extract.", std::move(figures)};
    return flow_chart(chart);
}

} // namespace lotwort::report
