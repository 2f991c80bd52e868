// The answers of `lotwort trend`.
#pragma once

#include <lotwort/infer/learn.hpp>
#include <lotwort/infer/score.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

// A brew that the levels are told without.
struct LeftOutBrew {
    std::string brew;
    Date date;
    std::string why;
};

struct Trend {
    std::string brewhouse;
    Learning learned;
    std::vector<LeftOutBrew> left_out; // by date
    ForecastScore forecasts;
    int last = 10;     // brews in the table
    bool full = false; // plots, all lots and every figure too
};
inline constexpr int usual_forecasts = 20; // that are held against what came

// First what to act on, then where things stand, on one screen; in full plots and tables too. Within 80 columns.
[[nodiscard]] std::string trend_text(const Trend& trend);
// The last forecasts against what came, a row a brew, and what that says of them.
[[nodiscard]] std::string forecasts_text(const Trend& trend);
[[nodiscard]] std::string trend_csv(const Trend& trend);  // a row a figure: kind, name, brew, date, mean, sd, low, high
[[nodiscard]] std::string trend_json(const Trend& trend); // lotwort/trend/1

// A level over brews in plain characters: `o` the level, `|` its 90 % interval, `x` what single brews showed. Brews
// beyond the width are put together by means. Values are drawn as per cent.
struct PlotPoint {
    Estimate level;
    std::optional<double> shown;
};
[[nodiscard]] std::string level_plot(const std::vector<PlotPoint>& points, std::size_t width = 70, int height = 8);

} // namespace lotwort::report
