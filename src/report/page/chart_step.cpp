#include "chart.hpp"
#include "svg.hpp"
#include <algorithm>

namespace lotwort::report {

namespace {

constexpr double left = 46.0, right = 346.0, top = 28.0, bottom = 178.0;

}

std::string step_chart(const StepChart& chart) {
    if (chart.points.empty()) return "";
    Svg svg;
    double most = 0.0;
    for (const StepPoint& p : chart.points) most = std::max(most, p.level);
    const Axis up = number_axis(chart.axis_name, 0.0, most);
    const Axis along = day_axis("", chart.from, chart.to);
    for (const Tick& tick : up.ticks) {
        const double y = placed(up, tick.at, bottom, top);
        svg.line({left, y}, {right, y}, "grid");
        svg.text({left - 5.0, y + 4.0}, tick.label, Anchor::end, "small");
    }
    svg.text({4.0, 13.0}, up.name, Anchor::start, "small");
    for (const Tick& tick : along.ticks) {
        const double x = placed(along, tick.at, left, right);
        const Anchor anchor = x < left + 1.0 ? Anchor::start : x > right - 1.0 ? Anchor::end : Anchor::middle;
        svg.line({x, bottom}, {x, bottom + 4.0}, "axis");
        svg.text({anchor == Anchor::start ? x - 20.0
                  : anchor == Anchor::end ? x + 12.0
                                          : x,
                  bottom + 18.0},
                 tick.label, anchor, "small");
    }
    std::vector<Point> steps;
    for (const StepPoint& p : chart.points) {
        const Point next{placed(along, day_number(p.day), left, right), placed(up, p.level, bottom, top)};
        if (!steps.empty()) steps.push_back({next.x, steps.back().y});
        steps.push_back(next);
    }
    steps.push_back({right, steps.back().y});
    std::vector<Point> under = steps;
    under.push_back({right, bottom});
    under.push_back({steps.front().x, bottom});
    svg.polygon(under, "band");
    svg.polyline(steps, "line");
    svg.line({left, bottom}, {right, bottom}, "axis");
    for (std::size_t i = 0; i < chart.points.size(); ++i) {
        const auto x_of = [&](std::size_t at) { return placed(along, day_number(chart.points[at].day), left, right); };
        const double from = x_of(i), to = i + 1 < chart.points.size() ? x_of(i + 1) : right;
        svg.open(chart.points[i].said);
        svg.rect({from, top}, std::max(to - from, 1.0), bottom - top, "hit");
        svg.close();
    }
    return figure_of(chart.words,
                     svg.finished(bottom + 26.0, chart.words.id, chart.words.title, chart.words.description));
}

} // namespace lotwort::report
