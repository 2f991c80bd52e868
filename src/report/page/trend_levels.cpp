// The levels of a brewhouse over its brews, as charts.
#include "parts.hpp"
#include "trend_words.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <map>

namespace lotwort::report {

namespace {

constexpr std::size_t most_table_rows = 200; // behind one: the newest; all of them are in the CSV of trend

// One of the three levels: how it is called and where it stands in a brew's record.
struct Level {
    std::string id, title, axis;
    std::string_view drifts; // Drift::quantity that belongs here
    Estimate BrewLevel::*level;
    std::optional<Estimate BrewLevel::*> single;
    bool goes_with_recipe = false; // it is then told for a brew of the usual strength
};

// One level of one brew as it is drawn.
struct ShownLevel {
    Estimate level;
    std::optional<double> single; // what the brew itself showed, or its recipe's own level
};

// What washing should give, and what reaches the fermenter, of the brew in the middle: a strong brew is washed with
// less than others, and its level lies lower without the house being worse.
double usual_share(const std::vector<BrewLevel>& levels, const std::string& house) {
    std::vector<double> shares;
    for (const BrewLevel& l : levels)
        if (l.brewhouse == house) shares.push_back(l.brewhouse_level.value / (l.conversion.value * l.lauter.value));
    const auto middle = shares.begin() + static_cast<std::ptrdiff_t>(shares.size() / 2);
    std::nth_element(shares.begin(), middle, shares.end());
    return *middle;
}

// Of each brew, in per cent.
std::vector<ShownLevel> shown_levels(const std::vector<BrewLevel>& levels, const Level& of) {
    std::map<std::string, double> usual;
    std::vector<ShownLevel> shown;
    for (const BrewLevel& l : levels) {
        Estimate e = l.*of.level;
        std::optional<double> single;
        if (of.single) single = 100.0 * (l.**of.single).value;
        double times = 100.0;
        if (of.goes_with_recipe) {
            const auto [at, is_new] = usual.try_emplace(l.brewhouse);
            if (is_new) at->second = usual_share(levels, l.brewhouse);
            single = 100.0 * e.value;
            times *= at->second * l.conversion.value * l.lauter.value / e.value;
        }
        for (double* figure : {&e.value, &e.sd, &e.low, &e.high}) *figure *= times;
        shown.push_back({e, single});
    }
    return shown;
}

std::size_t place_of(const std::vector<BrewLevel>& levels, const std::string& brew) {
    const auto at = std::ranges::find(levels, brew, &BrewLevel::brew);
    return static_cast<std::size_t>(at - levels.begin());
}

double day_of(const BrewLevel& level) {
    return day_number(level.date);
}

// The brewhouses in the order of their first brews.
std::vector<std::string> houses_of(const std::vector<BrewLevel>& levels) {
    std::vector<std::string> houses;
    for (const BrewLevel& level : levels)
        if (std::ranges::find(houses, level.brewhouse) == houses.end()) houses.push_back(level.brewhouse);
    return houses;
}

Table level_figures(const std::vector<BrewLevel>& levels, const std::vector<ShownLevel>& shown, const Level& of,
                    bool several) {
    Table table{{{"Brew"}, {"Date"}}, {}};
    if (several) table.columns.push_back({"Brewhouse"});
    table.columns.insert(table.columns.end(), {{"Level, %", Align::right}, {"9 times in 10", Align::right}});
    const bool has_single = of.single || of.goes_with_recipe;
    if (has_single) table.columns.push_back({of.single ? "This brew, %" : "Its recipe's, %", Align::right});
    const std::size_t from = levels.size() - std::min(levels.size(), most_table_rows);
    for (std::size_t i = levels.size(); i-- > from;) { // the newest first
        const Estimate& e = shown[i].level;
        std::vector<std::string> row{levels[i].brew, to_iso(levels[i].date)};
        if (several) row.push_back(levels[i].brewhouse);
        row.push_back(fixed(e.value, 1));
        row.push_back(fmt::format("{} to {}", fixed(e.low, 1), fixed(e.high, 1)));
        if (has_single) row.push_back(fixed(*shown[i].single, 1));
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::string described(const std::vector<BrewLevel>& levels, const std::vector<ShownLevel>& shown, const Level& of,
                      std::size_t drifts) {
    const auto houses = houses_of(levels);
    std::string text = fmt::format("{} over {}", of.axis, counted(std::ssize(levels), "brew"));
    for (const auto& house : houses) {
        const auto is_of = [&](const BrewLevel& level) { return level.brewhouse == house; };
        const auto from = std::ranges::find_if(levels, is_of);
        const auto to = std::find_if(levels.rbegin(), levels.rend(), is_of);
        const Estimate& first = shown[static_cast<std::size_t>(from - levels.begin())].level;
        const Estimate& last = shown[static_cast<std::size_t>(levels.rend() - to) - 1].level;
        text += fmt::format("{}, from {} % at {} to {} % at {}; in the last one it lies within {} to {} % nine times "
                            "in ten",
                            houses.size() > 1 ? fmt::format("; {}", house) : "", fixed(first.value, 1), from->brew,
                            fixed(last.value, 1), to->brew, fixed(last.low, 1), fixed(last.high, 1));
    }
    return text + (drifts == 0   ? ". No drift was signalled."
                   : drifts == 1 ? ". It moved once; the place is marked."
                                 : fmt::format(". It moved {} times; the places are marked.", drifts));
}

std::string said_of_brew(const BrewLevel& level, const ShownLevel& shown, const Level& of) {
    const std::string single =
        !shown.single ? ""
                      : fmt::format("; {} {} %", of.single ? "this brew" : "by its recipe", fixed(*shown.single, 1));
    return fmt::format("{} of {}: {} % ({} to {}){}", level.brew, to_iso(level.date), fixed(shown.level.value, 1),
                       fixed(shown.level.low, 1), fixed(shown.level.high, 1), single);
}

std::vector<SeriesLine> lines_of(const std::vector<BrewLevel>& levels, const std::vector<ShownLevel>& shown,
                                 const Level& of) {
    std::vector<SeriesLine> lines;
    for (const auto& house : houses_of(levels)) {
        SeriesLine line{house, {}};
        for (std::size_t i = 0; i < levels.size(); ++i) {
            if (levels[i].brewhouse != house) continue;
            const Estimate& e = shown[i].level;
            line.points.push_back(
                {day_of(levels[i]), e.value, e.low, e.high, shown[i].single, said_of_brew(levels[i], shown[i], of)});
        }
        lines.push_back(std::move(line));
    }
    return lines;
}

// Where each lot was new, the newest last; of those that make no crowd.
void mark_lots(const Learning& learned, SeriesChart& chart, std::string& words) {
    constexpr std::size_t most_marks = 60, most_said = 4;
    std::vector<std::pair<std::size_t, std::string>> lots;
    for (const LearnedLot& lot : learned.lots) {
        const std::size_t place = place_of(learned.levels, lot.first_brew);
        if (place > 0 && place < learned.levels.size()) lots.emplace_back(place, lot.lot);
    }
    std::ranges::stable_sort(lots, {}, [](const auto& lot) { return lot.first; });
    if (lots.size() > most_marks) lots.erase(lots.begin(), lots.end() - static_cast<std::ptrdiff_t>(most_marks));
    for (const auto& [place, lot] : lots) chart.new_lots.push_back(day_of(learned.levels[place]));
    if (lots.empty()) return;
    words += " Short uprights: where a lot was new";
    const std::size_t from = lots.size() - std::min(lots.size(), most_said);
    for (std::size_t i = from; i < lots.size(); ++i)
        words += fmt::format("{}{} at {}", i == from ? ", the latest " : ", ", lots[i].second,
                             learned.levels[lots[i].first].brew);
    words += ".";
}

// Brews that the level is told without, for those who look for them.
void mark_left_out(const Trend& trend, SeriesChart& chart) {
    for (const LeftOutBrew& brew : trend.left_out)
        if (const double day = day_number(brew.date); day >= chart.first_place && day <= chart.last_place)
            chart.left_out.push_back(
                {day, fmt::format("{} of {} is left out: {}", brew.brew, to_iso(brew.date), brew.why)});
    if (!chart.left_out.empty())
        chart.words.note += fmt::format(" Rings: {} left out.", counted(std::ssize(chart.left_out), "brew"));
}

std::string level_chart(const Trend& trend, const Level& of) {
    const Learning& learned = trend.learned;
    const auto& levels = learned.levels;
    SeriesChart chart;
    std::string moved, lots;
    const bool several = houses_of(levels).size() > 1;
    for (const Drift& drift : learned.drift) {
        const std::size_t place = place_of(levels, drift.from_brew);
        if (drift.quantity != of.drifts || place == levels.size()) continue;
        chart.drifts.push_back(day_of(levels[place]));
        moved += fmt::format(" {}: {}{} from {} on.", chart.drifts.size(), several ? drift.brewhouse + " " : "",
                             signed_pct(drift.change), drift.from_brew);
    }
    const auto shown = shown_levels(levels, of);
    chart.lines = lines_of(levels, shown, of);
    const auto [first, last] = std::ranges::minmax(levels, {}, &BrewLevel::date);
    chart.first_place = day_of(first);
    chart.last_place = day_of(last);
    if (of.drifts == "conversion") mark_lots(learned, chart, lots);
    const std::string_view crosses = of.single             ? "; crosses: what single brews showed"
                                     : of.goes_with_recipe ? "; both for a recipe of the usual strength. Crosses: each "
                                                             "brew's own recipe, a strong one lower"
                                                           : "";
    chart.words = {of.id, of.title, described(levels, shown, of, chart.drifts.size()),
                   fmt::format("{}: the level; {}: where it lies nine times in ten{}.{}{}{}",
                               several ? "Thick lines, one a brewhouse" : "Line", several ? "thin ones" : "band",
                               crosses, moved.empty() ? "" : " Dashed: where it moved.", moved, lots),
                   level_figures(levels, shown, of, several)};
    if (levels.size() > most_table_rows)
        chart.words.note += fmt::format(" The table has the last {} brews.", most_table_rows);
    mark_left_out(trend, chart);
    chart.axis_name = of.axis;
    chart.along = day_axis("", first.date, last.date).ticks;
    if (chart.first_place == chart.last_place) chart.along.resize(1);
    return series_chart(chart);
}

} // namespace

std::string level_charts(const Trend& trend) {
    const Level levels[] = {
        {"level-brewhouse", "The brewhouse", "brewhouse efficiency, %", "", &BrewLevel::brewhouse_level, std::nullopt,
         true},
        {"level-conversion", "Conversion", "conversion of the certificates' extract, %", "conversion",
         &BrewLevel::conversion, &BrewLevel::this_conversion},
        {"level-lauter", "Lautering", "lautering against what washing should give, %", "lauter", &BrewLevel::lauter,
         &BrewLevel::this_lauter},
    };
    std::string figures;
    for (const Level& level : levels) figures += level_chart(trend, level);
    return figures;
}

} // namespace lotwort::report
