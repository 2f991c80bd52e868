#include "chart.hpp"
#include "svg.hpp"
#include <algorithm>

namespace lotwort::report {

namespace {

constexpr double left = 10.0, right = 350.0, row_height = 40.0, top = 4.0;
constexpr std::size_t letters_in_a_row = 46; // of a wide face, at the size of the drawing's letters

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

void draw_row(Svg& svg, const RangeChart& chart, const RangeRow& row, double y) {
    const std::string said = shortened(row.said, letters_in_a_row - 12);
    svg.text({left, y + 14.0}, shortened(row.name, letters_in_a_row - display_width(said)), Anchor::start,
             row.is_odd ? "strong odd" : "");
    svg.text({right, y + 14.0}, said, Anchor::end);
    const auto at = [&](double value) { return placed(chart.axis, value, left, right); };
    const double line = y + 26.0;
    if (chart.from_reference && chart.reference) svg.line({at(*chart.reference), line}, {at(row.value), line}, "line");
    if (row.high > row.low) {
        svg.line({at(row.low), line}, {at(row.high), line}, row.is_odd ? "alert" : "line");
        svg.line({at(row.low), line - 4.0}, {at(row.low), line + 4.0}, "edge");
        svg.line({at(row.high), line - 4.0}, {at(row.high), line + 4.0}, "edge");
    }
    if (row.mark) svg.line({at(*row.mark), line - 7.0}, {at(*row.mark), line + 7.0}, "single");
    svg.circle({at(row.value), line}, 4.0, "point");
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
