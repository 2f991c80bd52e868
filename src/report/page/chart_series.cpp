#include "chart.hpp"
#include "svg.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace lotwort::report {

namespace {

constexpr double left = 46.0, right = 346.0, height = 150.0;
constexpr std::size_t most_points = 150; // two units of the width each

// Points beyond what the width shows, put together by means of neighbours; where a place of the old goes in the new.
struct Thinned {
    std::vector<SeriesPoint> points;
    std::size_t together = 1;
};

Thinned thinned(const std::vector<SeriesPoint>& points) {
    Thinned out;
    out.together = (points.size() + most_points - 1) / most_points;
    if (out.together <= 1) return {points, 1};
    for (std::size_t begin = 0; begin < points.size(); begin += out.together) {
        const std::size_t end = std::min(begin + out.together, points.size());
        SeriesPoint mean{};
        double shown = 0.0, count = 0.0;
        for (std::size_t i = begin; i < end; ++i) {
            mean.level += points[i].level;
            mean.low += points[i].low;
            mean.high += points[i].high;
            if (!points[i].shown) continue;
            shown += *points[i].shown;
            count += 1.0;
        }
        const auto n = static_cast<double>(end - begin);
        mean.level /= n;
        mean.low /= n;
        mean.high /= n;
        if (count > 0.0) mean.shown = shown / count;
        out.points.push_back(mean);
    }
    return out;
}

class Plot {
public:
    Plot(const SeriesChart& chart, Thinned thin) : chart_(chart), thin_(std::move(thin)) {
        double low = thin_.points.front().low, high = thin_.points.front().high;
        for (const SeriesPoint& p : thin_.points) {
            low = std::min({low, p.low, p.shown.value_or(p.low)});
            high = std::max({high, p.high, p.shown.value_or(p.high)});
        }
        axis_ = number_axis(chart.axis_name, low, high);
        top_ = chart.drifts.empty() ? 28.0 : 50.0; // room for the drifts' numbers
        bottom_ = top_ + height;
    }

    [[nodiscard]] std::string drawn_plot() {
        draw_frame();
        draw_level();
        draw_drifts();
        return svg_.finished(bottom_ + 26.0, chart_.words.id, chart_.words.title, chart_.words.description);
    }

private:
    [[nodiscard]] double x_of(double place) const { // of the thinned points
        const auto n = static_cast<double>(thin_.points.size());
        return n < 2.0 ? (left + right) / 2.0 : left + 6.0 + (right - left - 12.0) * place / (n - 1.0);
    }
    [[nodiscard]] double y_of(double value) const { return placed(axis_, value, bottom_, top_); }
    [[nodiscard]] double thin_place(std::size_t place) const { return static_cast<double>(place / thin_.together); }

    void draw_frame() {
        for (const Tick& tick : axis_.ticks) {
            const double y = y_of(tick.at);
            svg_.line({left, y}, {right, y}, "grid");
            svg_.text({left - 5.0, y + 4.0}, tick.label, Anchor::end, "small");
        }
        svg_.text({4.0, 13.0}, axis_.name, Anchor::start, "small");
        svg_.line({left, bottom_}, {right, bottom_}, "axis");
        for (std::size_t i = 0; i < chart_.along.size(); ++i) {
            const double x = x_of(thin_place(static_cast<std::size_t>(chart_.along[i].at)));
            const bool alone = chart_.along.size() == 1;
            const Anchor anchor = alone                          ? Anchor::middle
                                  : i == 0                       ? Anchor::start
                                  : i + 1 == chart_.along.size() ? Anchor::end
                                                                 : Anchor::middle;
            svg_.line({x, bottom_}, {x, bottom_ + 4.0}, "axis");
            svg_.text({anchor == Anchor::start ? x - 14.0
                       : anchor == Anchor::end ? x + 8.0
                                               : x,
                       bottom_ + 18.0},
                      chart_.along[i].label, anchor, "small");
        }
    }

    void draw_level() {
        std::vector<Point> low, high, level;
        for (std::size_t i = 0; i < thin_.points.size(); ++i) {
            const double x = x_of(static_cast<double>(i));
            low.push_back({x, y_of(thin_.points[i].low)});
            high.push_back({x, y_of(thin_.points[i].high)});
            level.push_back({x, y_of(thin_.points[i].level)});
        }
        if (level.size() == 1) {
            svg_.line(low.front(), high.front(), "line");
            svg_.circle(level.front(), 4.0, "point");
        } else {
            std::vector<Point> around = high;
            around.insert(around.end(), low.rbegin(), low.rend());
            svg_.polygon(around, "band");
            svg_.polyline(low, "edge");
            svg_.polyline(high, "edge");
            svg_.polyline(level, "line");
        }
        for (std::size_t i = 0; i < thin_.points.size(); ++i)
            if (thin_.points[i].shown) svg_.cross({level[i].x, y_of(*thin_.points[i].shown)}, 2.5, "single");
    }

    // A dashed upright with its number above, in the first of two rows that has room for it; where neither has, the
    // note below the chart still names the place.
    void draw_drifts() {
        std::vector<double> taken[2];
        for (std::size_t i = 0; i < chart_.drifts.size(); ++i) {
            const double x = x_of(thin_place(chart_.drifts[i])) - (thin_.points.size() > 1 ? 3.0 : 0.0);
            svg_.line({x, top_ - 4.0}, {x, bottom_}, "drift");
            for (int row = 0; row < 2; ++row) {
                auto& row_taken = taken[row];
                if (std::ranges::any_of(row_taken, [&](double other) { return std::abs(other - x) < 18.0; })) continue;
                row_taken.push_back(x);
                svg_.text({x, top_ - 8.0 - 14.0 * row}, fmt::format("{}", i + 1), Anchor::middle, "strong odd");
                break;
            }
        }
    }

    const SeriesChart& chart_;
    Thinned thin_;
    Axis axis_;
    Svg svg_;
    double top_ = 0.0, bottom_ = 0.0;
};

} // namespace

std::string series_chart(const SeriesChart& chart) {
    if (chart.points.empty()) return "";
    return figure_of(chart.words, Plot(chart, thinned(chart.points)).drawn_plot());
}

} // namespace lotwort::report
