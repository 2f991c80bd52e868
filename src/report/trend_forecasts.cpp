// Forecasts against what came of them.
#include "trend_words.hpp"
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/report/trend.hpp>

namespace lotwort::report {

namespace {

constexpr int few = 3; // forecasts that say nothing of those to come

struct Figure {
    const char* name;
    std::optional<ForetoldFigure> ForetoldBrew::*of;
    int decimals;
    const char* unit;
};
const Figure figures[] = {{"gravity", &ForetoldBrew::gravity_sg, 4, ""}, {"volume", &ForetoldBrew::volume_l, 1, " L"}};

// "0.0004 too low on average"; nothing where it rounds to nothing.
std::string lean(const FigureScore& score, const Figure& figure) {
    const std::string size = fixed(std::abs(score.mean_error), figure.decimals);
    if (size == fixed(0.0, figure.decimals)) return "right on average";
    return fmt::format("{}{} too {} on average", size, figure.unit, score.mean_error < 0.0 ? "low" : "high");
}

} // namespace

std::string forecasts_line(const ForecastScore& forecasts) {
    std::string text;
    for (const Figure& figure : figures) {
        const FigureScore score = score_of(forecasts, figure.of);
        if (score.of < few) continue;
        text += text.empty() ? fmt::format("Of the last {} forecasts of {} {} held, nine in ten are meant to", score.of,
                                           figure.name, score.held)
                             : fmt::format("; of {} {} of {} held", figure.name, score.held, score.of);
        text += fmt::format(" ({})", lean(score, figure));
    }
    return text.empty() ? "" : wrapped(text + ".", 2);
}

std::string forecasts_text(const Trend& trend) {
    const auto& brews = trend.forecasts.brews;
    if (brews.empty())
        return "no forecast can be held against a reading yet: the first is of the brew after one that taught "
               "something\n";
    Table table{{{"BREW"}, {"DATE"}, {"AFTER", Align::right}}, {}};
    for (const Figure& figure : figures) {
        table.columns.push_back({figure.of == &ForetoldBrew::gravity_sg ? "GRAVITY" : "LITRES", Align::right});
        table.columns.push_back({"FORECAST", Align::right});
        table.columns.push_back({""});
    }
    for (const auto& brew : brews) {
        std::vector<std::string> row{brew.brew, to_iso(brew.date), counted(brew.learned_from, "brew")};
        for (const Figure& figure : figures) {
            const auto& at = brew.*figure.of;
            if (!at) {
                row.insert(row.end(), {"", "", ""});
                continue;
            }
            const auto shown = [&](double x) { return fixed(x, figure.decimals); };
            row.insert(row.end(), {shown(at->came), shown(at->foretold.low) + " to " + shown(at->foretold.high),
                                   at->held() ? "" : "out"});
        }
        table.rows.push_back(std::move(row));
    }
    std::string text = table_text(table) + "(what was read, and between what it was foretold nine times in ten)\n\n";
    for (const Figure& figure : figures) {
        const FigureScore score = score_of(trend.forecasts, figure.of);
        if (score.of == 0) continue;
        text +=
            wrapped(fmt::format("{}: {} of {} forecasts held; {}, {}{} off one with another.", figure.name, score.held,
                                score.of, lean(score, figure), fixed(score.rms_error, figure.decimals), figure.unit),
                    2);
    }
    return text;
}

} // namespace lotwort::report
