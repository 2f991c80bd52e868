#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/trend.hpp>

namespace lotwort::report {

namespace {

// Brews put together so that no more than `columns` are left.
std::vector<PlotPoint> gathered(const std::vector<PlotPoint>& points, std::size_t columns) {
    const std::size_t each = (points.size() + columns - 1) / columns;
    if (each <= 1) return points;
    std::vector<PlotPoint> out;
    for (std::size_t from = 0; from < points.size(); from += each) {
        const std::size_t to = std::min(points.size(), from + each);
        PlotPoint mean;
        double shown = 0.0;
        int count = 0;
        for (std::size_t i = from; i < to; ++i) {
            const double part = 1.0 / static_cast<double>(to - from);
            mean.level.value += part * points[i].level.value;
            mean.level.low += part * points[i].level.low;
            mean.level.high += part * points[i].level.high;
            if (points[i].shown) shown += *points[i].shown, ++count;
        }
        if (count > 0) mean.shown = shown / count;
        out.push_back(mean);
    }
    return out;
}

} // namespace

std::string level_plot(const std::vector<PlotPoint>& points, std::size_t width, int height) {
    if (points.empty()) return {};
    const auto columns = gathered(points, width);
    double low = columns.front().level.low, high = columns.front().level.high;
    for (const auto& p : columns) {
        low = std::min({low, p.level.low, p.shown.value_or(p.level.low)});
        high = std::max({high, p.level.high, p.shown.value_or(p.level.high)});
    }
    const double step = std::max((high - low) / (height - 1), 1e-4);
    const auto row_of = [&](double value) {
        return std::clamp(static_cast<int>(std::lround((high - value) / step)), 0, height - 1);
    };
    // few brews are drawn wider apart
    const std::size_t stride = std::max<std::size_t>(1, std::min<std::size_t>(3, width / columns.size()));
    std::vector<std::string> rows(static_cast<std::size_t>(height), std::string(columns.size() * stride, ' '));
    for (std::size_t c = 0; c < columns.size(); ++c) {
        const auto& p = columns[c];
        const auto put = [&](int row, char mark) { rows[static_cast<std::size_t>(row)][c * stride] = mark; };
        for (int row = row_of(p.level.high); row <= row_of(p.level.low); ++row) put(row, '|');
        if (p.shown) put(row_of(*p.shown), 'x');
        put(row_of(p.level.value), 'o');
    }
    std::string text;
    for (int row = 0; row < height; ++row) {
        std::string line =
            fmt::format("{:>6} {}", fixed(100.0 * (high - step * row), 1), rows[static_cast<std::size_t>(row)]);
        line.erase(line.find_last_not_of(' ') + 1);
        text += line + "\n";
    }
    return text;
}

} // namespace lotwort::report
