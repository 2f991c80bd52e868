// The charts of a page. Each is a figure with its caption, a drawing, and the table behind it, folded where it is long.
#pragma once

#include "axis.hpp"
#include <lotwort/report/table.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

// What every chart has. `description` says in words what the drawing shows; `figures` holds all that is drawn.
struct ChartWords {
    std::string id; // unique in its page
    std::string title;
    std::string description;
    std::string note; // how to read it; may be empty
    Table figures;
};

// A line for each thing: its value, and where it lies nine times in ten. What lies beyond the axis ends in an arrow.
struct RangeRow {
    std::string name;
    std::string said; // "92.6 % (89.0 to 96.2)"
    double value = 0.0;
    double low = 0.0, high = 0.0;
    bool is_odd = false;
    std::optional<double> mark{}; // a short upright: a best-before day, a certificate
    bool is_answer = false;       // what was asked for: it stands out
    bool is_faint = false;        // smaller than what can be told
    bool is_drawn = true;         // false: nothing but its words
};
struct RangeChart {
    ChartWords words;
    Axis axis;
    std::optional<double> reference{}; // a dotted upright through all rows
    bool from_reference = false;       // rows are drawn as stems from it
    std::vector<RangeRow> rows;
};
[[nodiscard]] std::string range_chart(const RangeChart& chart);

// Levels over brews, a line a brewhouse: its band, what single brews showed, where it moved, and where a lot was new.
struct SeriesPoint {
    double place = 0.0; // a day, to scale
    double level = 0.0, low = 0.0, high = 0.0;
    std::optional<double> shown{};
    std::string said{}; // where a pointer rests on it: "B024 of 2025-06-16: 75.4 % (72.5 to 78.4)"
};
struct SeriesLine {
    std::string name;
    std::vector<SeriesPoint> points; // by day
};
struct SeriesChart {
    ChartWords words;
    std::string axis_name;
    std::vector<SeriesLine> lines; // each in a colour and a dash of its own; named where there are several
    double first_place = 0.0, last_place = 0.0;
    std::vector<Tick> along;      // named days
    std::vector<double> drifts;   // days on which a level moved, numbered in this order in the drawing
    std::vector<double> new_lots; // days on which a lot came into use
    std::vector<Tick> left_out;   // brews that the level is told without, each with its words
};
// More points of a line than the width can show are put together by means; tables and marks keep their own days.
[[nodiscard]] std::string series_chart(const SeriesChart& chart);

// A stock over days: it changes at the day and stays until the next.
struct StepPoint {
    Date day;
    double level = 0.0;
    std::string said{}; // where a pointer rests on it
};
struct StepChart {
    ChartWords words;
    std::string axis_name;
    Date from, to;
    std::vector<StepPoint> points; // by day
};
[[nodiscard]] std::string step_chart(const StepChart& chart);

// A stream from stage to stage, as wide as what it carries; what is lost on the way turns off to the right, what is
// added comes in from there.
struct FlowStage {
    std::string name, said;
    double amount = 0.0;
    std::string lost, lost_said; // between this stage and the next; unused at the last
};
struct FlowChart {
    ChartWords words;
    std::vector<FlowStage> stages;
};
[[nodiscard]] std::string flow_chart(const FlowChart& chart);

// Charts beside each other, as many as fit.
[[nodiscard]] std::string charts(const std::string& figures);

// The figure around a finished drawing.
[[nodiscard]] std::string figure_of(const ChartWords& words, const std::string& drawing);

} // namespace lotwort::report
