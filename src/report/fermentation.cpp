#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/fermentation.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

constexpr std::size_t most_days = 10;
constexpr double pct_of_a_mark = 4.0; // a bar of 25 marks is all of the extract

std::string bar(const std::optional<double>& attenuation_pct) {
    if (!attenuation_pct) return "";
    const double marks = std::clamp(*attenuation_pct / pct_of_a_mark, 0.0, 100.0 / pct_of_a_mark);
    return fmt::format("{:>3.0f} % {}", std::max(0.0, *attenuation_pct),
                       std::string(static_cast<std::size_t>(std::lround(marks)), '='));
}

std::string_view state_word(Fermenting state) {
    constexpr std::array<std::string_view, 4> words{"unread", "cannot tell", "goes on", "has stopped"};
    return words[static_cast<std::size_t>(state)];
}

} // namespace

std::string fermentation_text(const Fermentation& fermentation) {
    const auto& days = fermentation.days;
    if (days.empty()) return "";
    const std::size_t first = days.size() > most_days ? days.size() - most_days : 0;
    Table table{{{"DAY", Align::right}, {"DATE"}, {"GRAVITY", Align::right}, {"ATTENUATED"}, {"°C"}, {"pH"}}, {}};
    for (std::size_t i = first; i < days.size(); ++i) {
        const FermentationDay& day = days[i];
        table.rows.push_back({std::to_string((day.on - days.front().on).count()), to_iso(day.on),
                              day.gravity_sg ? fixed(*day.gravity_sg, 4) : "", bar(day.attenuation_pct),
                              day.temperature ? readable(day.temperature->value()) : "",
                              day.ph ? readable(*day.ph) : ""});
    }
    return table_text(table) + (fermentation.says.empty() ? "" : wrapped(fermentation.says, 2));
}

void fermentation_json(JsonWriter& w, const Fermentation& fermentation) {
    w.begin_object().field("state", state_word(fermentation.state)).field("says", fermentation.says);
    w.key("days").begin_array();
    for (const FermentationDay& day : fermentation.days) {
        w.begin_object(JsonWriter::Layout::one_line).field("on", day.on);
        if (!day.reading.empty()) w.field("reading", day.reading);
        w.field("gravity_sg", day.gravity_sg).field("attenuation_pct", day.attenuation_pct);
        w.field("temperature_c", day.temperature).field("ph", day.ph).end_object();
    }
    w.end_array().end_object();
}

} // namespace lotwort::report
