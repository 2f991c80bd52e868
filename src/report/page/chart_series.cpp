#include "chart.hpp"
#include "svg.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>
#include <string_view>

namespace lotwort::report {

namespace {

constexpr double left = 46.0, right = 346.0, height = 150.0;
constexpr std::size_t most_points = 150; // two units of the width each

// Points beyond what the width shows, put together by means of neighbours.
std::vector<SeriesPoint> thinned(const std::vector<SeriesPoint>& points) {
    const std::size_t together = (points.size() + most_points - 1) / most_points;
    if (together <= 1) return points;
    std::vector<SeriesPoint> out;
    for (std::size_t begin = 0; begin < points.size(); begin += together) {
        const std::size_t end = std::min(begin + together, points.size());
        SeriesPoint mean{};
        double shown = 0.0, count = 0.0;
        for (std::size_t i = begin; i < end; ++i) {
            mean.place += points[i].place;
            mean.level += points[i].level;
            mean.low += points[i].low;
            mean.high += points[i].high;
            if (!points[i].shown) continue;
            shown += *points[i].shown;
            count += 1.0;
        }
        mean.said = points[begin].said + (end > begin + 1 ? " … " + points[end - 1].said : "");
        const auto n = static_cast<double>(end - begin);
        for (double* figure : {&mean.place, &mean.level, &mean.low, &mean.high}) *figure /= n;
        if (count > 0.0) mean.shown = shown / count;
        out.push_back(mean);
    }
    return out;
}

// A class of the style sheet for the line so manieth; a fourth brewhouse has the first one's look, and its name.
std::string look(std::string_view of, std::size_t line) {
    const char* const roles[] = {"", " second", " third"};
    return std::string(of) + roles[line % std::size(roles)];
}

class Plot {
public:
    explicit Plot(const SeriesChart& chart) : chart_(chart) {
        double low = chart.lines.front().points.front().low, high = low;
        for (const SeriesLine& line : chart.lines) {
            lines_.push_back(thinned(line.points));
            for (const SeriesPoint& p : lines_.back()) {
                low = std::min({low, p.low, p.shown.value_or(p.low)});
                high = std::max({high, p.high, p.shown.value_or(p.high)});
            }
        }
        axis_ = number_axis(chart.axis_name, low, high);
        top_ = chart.drifts.empty() ? 28.0 : 50.0; // room for the drifts' numbers
        if (lines_.size() > 1) top_ += 16.0;       // and for the lines' names
        bottom_ = top_ + height;
    }

    [[nodiscard]] std::string drawn_plot() {
        draw_frame();
        for (std::size_t line = 0; line < lines_.size(); ++line) draw_level(line);
        for (std::size_t line = 0; line < lines_.size(); ++line)
            for (const SeriesPoint& point : lines_[line])
                if (point.shown) svg_.cross({x_of(point.place), y_of(*point.shown)}, 2.5, look("single", line));
        draw_left_out();
        for (const double place : chart_.new_lots)
            svg_.line({x_of(place), bottom_}, {x_of(place), bottom_ - 7.0}, "lot");
        draw_drifts();
        if (lines_.size() > 1) draw_names();
        draw_hits();
        return svg_.finished(bottom_ + 26.0, chart_.words.id, chart_.words.title, chart_.words.description);
    }

private:
    [[nodiscard]] bool is_one_day() const { return chart_.last_place - chart_.first_place < 1.0; }
    [[nodiscard]] double x_of(double place) const {
        return is_one_day() ? (left + right) / 2.0
                            : left + 6.0 +
                                  (right - left - 12.0) * (place - chart_.first_place) /
                                      (chart_.last_place - chart_.first_place);
    }
    [[nodiscard]] double y_of(double value) const { return placed(axis_, value, bottom_, top_); }

    void draw_frame() {
        for (const Tick& tick : axis_.ticks) {
            const double y = y_of(tick.at);
            svg_.line({left, y}, {right, y}, "grid");
            svg_.text({left - 5.0, y + 4.0}, tick.label, Anchor::end, "small");
        }
        svg_.text({4.0, 13.0}, axis_.name, Anchor::start, "small");
        svg_.line({left, bottom_}, {right, bottom_}, "axis");
        for (std::size_t i = 0; i < chart_.along.size(); ++i) {
            const double x = x_of(chart_.along[i].at);
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

    void draw_level(std::size_t line) {
        std::vector<Point> low, high, level;
        for (const SeriesPoint& point : lines_[line]) {
            const double x = x_of(point.place);
            low.push_back({x, y_of(point.low)});
            high.push_back({x, y_of(point.high)});
            level.push_back({x, y_of(point.level)});
        }
        if (level.size() == 1) {
            svg_.line(low.front(), high.front(), look("line", line));
            svg_.circle(level.front(), 4.0, look("point", line));
            return;
        }
        if (line == 0) { // one band is filled: several would hide each other
            std::vector<Point> around = high;
            around.insert(around.end(), low.rbegin(), low.rend());
            svg_.polygon(around, "band");
        }
        svg_.polyline(low, look("edge", line));
        svg_.polyline(high, look("edge", line));
        svg_.polyline(level, look("line", line));
    }

    void draw_names() {
        constexpr std::size_t most_letters = 14;
        const double each = (right - left) / static_cast<double>(lines_.size());
        for (std::size_t line = 0; line < lines_.size(); ++line) {
            const double x = left + each * static_cast<double>(line);
            svg_.line({x, 24.0}, {x + 22.0, 24.0}, look("line", line));
            svg_.text({x + 27.0, 28.0}, shortened(chart_.lines[line].name, most_letters), Anchor::start, "small");
        }
    }

    // Brews that the level is told without: a small ring at the foot of the picture.
    void draw_left_out() {
        for (const Tick& brew : chart_.left_out) {
            svg_.open(brew.label);
            svg_.circle({x_of(brew.at), bottom_ - 5.0}, 3.0, "out");
            svg_.close();
        }
    }

    // Where a pointer rests on a brew: an upright strip, as wide as half the way to its neighbours.
    void draw_hits() {
        for (std::size_t line = 0; line < lines_.size(); ++line) {
            const auto& points = lines_[line];
            const double share = height / static_cast<double>(lines_.size()),
                         y = top_ + share * static_cast<double>(line);
            for (std::size_t i = 0; i < points.size(); ++i) {
                const double x = x_of(points[i].place);
                const double from = i == 0 ? x - 4.0 : (x_of(points[i - 1].place) + x) / 2.0;
                const double to = i + 1 == points.size() ? x + 4.0 : (x + x_of(points[i + 1].place)) / 2.0;
                svg_.open(points[i].said);
                svg_.rect({from, lines_.size() > 1 ? y : top_}, std::max(to - from, 1.0), share, "hit");
                svg_.close();
            }
        }
    }

    // A dashed upright with its number above, in the first of two rows that has room for it; where neither has, the
    // note below the chart still names the place.
    void draw_drifts() {
        std::vector<double> taken[2];
        for (std::size_t i = 0; i < chart_.drifts.size(); ++i) {
            const double x = x_of(chart_.drifts[i]) - (is_one_day() ? 0.0 : 3.0);
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
    std::vector<std::vector<SeriesPoint>> lines_;
    Axis axis_;
    Svg svg_;
    double top_ = 0.0, bottom_ = 0.0;
};

} // namespace

std::string series_chart(const SeriesChart& chart) {
    if (chart.lines.empty()) return "";
    return figure_of(chart.words, Plot(chart).drawn_plot());
}

} // namespace lotwort::report
