#include "chart.hpp"
#include "svg.hpp"
#include <algorithm>

namespace lotwort::report {

namespace {

constexpr double left = 10.0, right = 350.0, row_height = 40.0, top = 4.0;
constexpr std::size_t letters_in_a_row = 43; // of a wide face, at the size of the drawing's letters

void draw_axis(Svg& svg, const Axis& axis, double bottom) {
    for (const Tick& tick : axis.ticks) {
        const double x = placed(axis, tick.at, left, right);
        svg.line({x, top}, {x, bottom}, "grid");
        const Anchor anchor = x < left + 24.0 ? Anchor::start : x > right - 24.0 ? Anchor::end : Anchor::middle;
        svg.text({anchor == Anchor::start ? left - 6.0
                  : anchor == Anchor::end ? right + 6.0
                                          : x,
                  bottom + 15.0},
                 tick.label, anchor, "small");
    }
    svg.line({left, bottom}, {right, bottom}, "axis");
    svg.text({right, bottom + 31.0}, axis.name, Anchor::end, "small");
}

// An end of a line: a short upright, or an arrow where it goes on beyond the axis.
void draw_end(Svg& svg, const Axis& axis, double value, double y) {
    const double x = placed(axis, value, left, right), beyond = 1e-9 * (axis.to - axis.from);
    if (value > axis.to + beyond)
        svg.polygon({{x + 7.0, y}, {x - 1.0, y - 4.5}, {x - 1.0, y + 4.5}}, "arrow");
    else if (value < axis.from - beyond)
        svg.polygon({{x - 7.0, y}, {x + 1.0, y - 4.5}, {x + 1.0, y + 4.5}}, "arrow");
    else
        svg.line({x, y - 4.0}, {x, y + 4.0}, "edge");
}

bool is_within(const Axis& axis, double value) {
    const double beyond = 1e-9 * (axis.to - axis.from);
    return value >= axis.from - beyond && value <= axis.to + beyond;
}

void draw_row(Svg& svg, const RangeChart& chart, const RangeRow& row, double y) {
    const std::string said = shortened(row.said, letters_in_a_row - 12);
    svg.open(row.name + ": " + row.said);
    svg.rect({left, y}, right - left, row_height, "hit");
    svg.text({left, y + 14.0}, shortened(row.name, letters_in_a_row - display_width(said)), Anchor::start,
             row.is_odd      ? "strong odd"
             : row.is_answer ? "strong"
             : row.is_faint  ? "faint"
                             : "");
    svg.text({right, y + 14.0}, said, Anchor::end, row.is_answer ? "strong" : row.is_faint ? "faint" : "");
    const auto at = [&](double value) { return placed(chart.axis, value, left, right); };
    const double line = y + 26.0;
    const std::string_view look = row.is_odd ? "alert" : row.is_answer ? "line answer" : row.is_faint ? "axis" : "line";
    if (row.is_drawn) {
        if (chart.from_reference && chart.reference)
            svg.line({at(*chart.reference), line}, {at(row.value), line}, row.high > row.low ? "stem" : look);
        if (row.high > row.low) svg.line({at(row.low), line}, {at(row.high), line}, look);
        for (const double end : {row.low, row.high})
            if (row.high > row.low || !is_within(chart.axis, end)) draw_end(svg, chart.axis, end, line);
        if (row.mark) svg.line({at(*row.mark), line - 7.0}, {at(*row.mark), line + 7.0}, "single");
        if (is_within(chart.axis, row.value))
            svg.circle({at(row.value), line}, row.is_answer ? 5.0 : 4.0, row.is_odd ? "point alert" : "point");
    }
    svg.close();
}

} // namespace

std::string range_chart(const RangeChart& chart) {
    Svg svg;
    const double bottom = top + row_height * static_cast<double>(chart.rows.size());
    draw_axis(svg, chart.axis, bottom);
    if (chart.reference) {
        const double x = placed(chart.axis, *chart.reference, left, right);
        svg.line({x, top}, {x, bottom}, "reference");
    }
    double y = top;
    for (const RangeRow& row : chart.rows) {
        draw_row(svg, chart, row, y);
        y += row_height;
    }
    const double under = chart.axis.name.empty() ? 22.0 : 38.0;
    return figure_of(chart.words,
                     svg.finished(bottom + under, chart.words.id, chart.words.title, chart.words.description));
}

} // namespace lotwort::report
