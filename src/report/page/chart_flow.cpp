#include "chart.hpp"
#include "svg.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace lotwort::report {

namespace {

// The stream falls along the left; its names stand to the right of it, a line of leader between.
constexpr double stream_left = 12.0, widest = 140.0, names_at = 196.0, fall = 92.0, top = 8.0;

// What turns off (or comes in) between two stages: from the stream's right side out to its name.
void draw_branch(Svg& svg, double from_x, double to_x, double y, bool is_loss) {
    const double thick = std::max(std::abs(from_x - to_x), 1.0);
    const double outer = std::max(from_x, to_x), inner = std::min(from_x, to_x);
    const double middle = y + fall * 0.62, end_x = names_at - 8.0;
    // it leaves downwards and turns until it runs level
    const double upper = middle - thick / 2.0, lower = middle + thick / 2.0;
    svg.path(fmt::format("M{} {}C{} {} {} {} {} {}L{} {}C{} {} {} {} {} {}Z", drawn(inner), drawn(y + 14.0),
                         drawn(inner), drawn(lower), drawn(inner + 10.0), drawn(lower), drawn(end_x), drawn(lower),
                         drawn(end_x), drawn(upper), drawn(outer + 10.0), drawn(upper), drawn(outer), drawn(upper),
                         drawn(outer), drawn(y + 14.0)),
             is_loss ? "loss" : "stream");
}

void draw_names(Svg& svg, double y, const std::string& name, const std::string& said, bool strong) {
    svg.open(name + ": " + said);
    svg.text({names_at, y}, shortened(name, 22), Anchor::start, strong ? "strong" : "");
    svg.text({names_at, y + 15.0}, shortened(said, 22), Anchor::start, "small");
    svg.close();
}

} // namespace

std::string flow_chart(const FlowChart& chart) {
    if (chart.stages.empty()) return "";
    Svg svg;
    double most = 0.0;
    for (const FlowStage& stage : chart.stages) most = std::max(most, stage.amount);
    const auto edge = [&](std::size_t i) { return stream_left + widest * chart.stages[i].amount / most; };
    const std::size_t last = chart.stages.size() - 1;
    for (std::size_t i = 0; i < last; ++i) {
        const double y = top + fall * static_cast<double>(i);
        if (!chart.stages[i].lost.empty() && std::abs(edge(i) - edge(i + 1)) > 0.05) {
            draw_branch(svg, edge(i), edge(i + 1), y, edge(i + 1) < edge(i));
            draw_names(svg, y + fall * 0.62 - 2.0, chart.stages[i].lost, chart.stages[i].lost_said, false);
        }
    }
    std::vector<Point> right;
    for (std::size_t i = 0; i <= last; ++i) {
        const double y = top + fall * static_cast<double>(i);
        right.push_back({edge(i), y});
        right.push_back({edge(i), y + (i == last ? 30.0 : 14.0)});
        if (i < last) right.push_back({edge(i + 1), y + 14.0});
    }
    std::vector<Point> around{{stream_left, top}};
    around.insert(around.end(), right.begin(), right.end());
    around.push_back({stream_left, right.back().y});
    svg.polygon(around, "stream");
    for (std::size_t i = 0; i <= last; ++i) {
        const double y = top + fall * static_cast<double>(i);
        svg.line({edge(i), y + 4.0}, {names_at - 4.0, y + 4.0}, "axis");
        draw_names(svg, y + 8.0, chart.stages[i].name, chart.stages[i].said, true);
    }
    const double bottom = top + fall * static_cast<double>(last) + 34.0;
    return figure_of(chart.words,
                     svg.finished(bottom + 4.0, chart.words.id, chart.words.title, chart.words.description));
}

} // namespace lotwort::report
