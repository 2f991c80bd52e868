// What many brews say, as charts.
#include "html_page.hpp"
#include "html_text.hpp"
#include "parts.hpp"
#include "trend_words.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>

namespace lotwort::report {

namespace {

constexpr std::size_t most_lots = 24;        // in one chart
constexpr std::size_t most_table_rows = 200; // behind one: the newest; all of them are in the CSV of trend

// One of the three levels: how it is called and where it stands in a brew's record.
struct Level {
    std::string id, title, axis;
    std::string_view drifts; // Drift::quantity that belongs here
    Estimate BrewLevel::*level;
    std::optional<Estimate BrewLevel::*> single;
};

std::size_t place_of(const std::vector<BrewLevel>& levels, const std::string& brew) {
    const auto at = std::ranges::find(levels, brew, &BrewLevel::brew);
    return static_cast<std::size_t>(at - levels.begin());
}

std::vector<Tick> named_brews(const std::vector<BrewLevel>& levels) {
    std::vector<std::size_t> places{0};
    if (levels.size() > 4) places.push_back(levels.size() / 2);
    if (levels.size() > 1) places.push_back(levels.size() - 1);
    std::vector<Tick> ticks;
    for (const std::size_t place : places) ticks.push_back({static_cast<double>(place), to_iso(levels[place].date)});
    return ticks;
}

// The brewhouses in the order of their first brews.
std::vector<std::string> houses_of(const std::vector<BrewLevel>& levels) {
    std::vector<std::string> houses;
    for (const BrewLevel& level : levels)
        if (std::ranges::find(houses, level.brewhouse) == houses.end()) houses.push_back(level.brewhouse);
    return houses;
}

Table level_figures(const std::vector<BrewLevel>& levels, const Level& of, bool several) {
    Table table{{{"Brew"}, {"Date"}}, {}};
    if (several) table.columns.push_back({"Brewhouse"});
    table.columns.insert(table.columns.end(), {{"Level, %", Align::right}, {"9 times in 10", Align::right}});
    if (of.single) table.columns.push_back({"This brew, %", Align::right});
    const std::size_t from = levels.size() - std::min(levels.size(), most_table_rows);
    for (std::size_t i = from; i < levels.size(); ++i) {
        const Estimate& e = levels[i].*of.level;
        std::vector<std::string> row{levels[i].brew, to_iso(levels[i].date)};
        if (several) row.push_back(levels[i].brewhouse);
        row.push_back(fixed(100.0 * e.value, 1));
        row.push_back(fmt::format("{} to {}", fixed(100.0 * e.low, 1), fixed(100.0 * e.high, 1)));
        if (of.single) row.push_back(fixed(100.0 * (levels[i].**of.single).value, 1));
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::string described(const std::vector<BrewLevel>& levels, const Level& of, std::size_t drifts) {
    const auto houses = houses_of(levels);
    std::string text = fmt::format("{} over {}", of.axis, counted(std::ssize(levels), "brew"));
    for (const auto& house : houses) {
        const auto is_of = [&](const BrewLevel& level) { return level.brewhouse == house; };
        const BrewLevel& from = *std::ranges::find_if(levels, is_of);
        const BrewLevel& to = *std::find_if(levels.rbegin(), levels.rend(), is_of);
        const Estimate &first = from.*of.level, &last = to.*of.level;
        text +=
            fmt::format("{}, from {} % at {} to {} % at {}; in the last one it lies within {} to {} % nine times "
                        "in ten",
                        houses.size() > 1 ? fmt::format("; {}", house) : "", fixed(100.0 * first.value, 1), from.brew,
                        fixed(100.0 * last.value, 1), to.brew, fixed(100.0 * last.low, 1), fixed(100.0 * last.high, 1));
    }
    return text + (drifts == 0   ? ". No drift was signalled."
                   : drifts == 1 ? ". It moved once; the place is marked."
                                 : fmt::format(". It moved {} times; the places are marked.", drifts));
}

std::vector<SeriesLine> lines_of(const std::vector<BrewLevel>& levels, const Level& of) {
    std::vector<SeriesLine> lines;
    for (const auto& house : houses_of(levels)) {
        SeriesLine line{house, {}};
        for (std::size_t place = 0; place < levels.size(); ++place) {
            if (levels[place].brewhouse != house) continue;
            const Estimate& e = levels[place].*of.level;
            SeriesPoint point{static_cast<double>(place), 100.0 * e.value, 100.0 * e.low, 100.0 * e.high, {}};
            if (of.single) point.shown = 100.0 * (levels[place].**of.single).value;
            line.points.push_back(point);
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
    for (const auto& [place, lot] : lots) chart.new_lots.push_back(static_cast<double>(place));
    if (lots.empty()) return;
    words += " Short uprights: where a lot was new";
    const std::size_t from = lots.size() - std::min(lots.size(), most_said);
    for (std::size_t i = from; i < lots.size(); ++i)
        words += fmt::format("{}{} at {}", i == from ? ", the latest " : ", ", lots[i].second,
                             learned.levels[lots[i].first].brew);
    words += ".";
}

std::string level_chart(const Learning& learned, const Level& of) {
    SeriesChart chart;
    std::string moved, lots;
    const bool several = houses_of(learned.levels).size() > 1;
    for (const Drift& drift : learned.drift) {
        const std::size_t place = place_of(learned.levels, drift.from_brew);
        if (drift.quantity != of.drifts || place == learned.levels.size()) continue;
        chart.drifts.push_back(static_cast<double>(place));
        moved += fmt::format(" {}: {}{} from {} on.", chart.drifts.size(), several ? drift.brewhouse + " " : "",
                             signed_pct(drift.change), drift.from_brew);
    }
    chart.lines = lines_of(learned.levels, of);
    chart.last_place = static_cast<double>(learned.levels.size() - 1);
    if (of.drifts == "conversion") mark_lots(learned, chart, lots);
    chart.words = {of.id, of.title, described(learned.levels, of, chart.drifts.size()),
                   fmt::format("{}: the level; {}: where it lies nine times in ten{}.{}{}{}",
                               several ? "Thick lines, one a brewhouse" : "Line", several ? "thin ones" : "band",
                               of.single ? "; crosses: what single brews showed" : "",
                               moved.empty() ? "" : " Dashed: where it moved.", moved, lots),
                   level_figures(learned.levels, of, several)};
    if (learned.levels.size() > most_table_rows)
        chart.words.note += fmt::format(" The table has the last {} brews.", most_table_rows);
    chart.axis_name = of.axis;
    chart.along = named_brews(learned.levels);
    return series_chart(chart);
}

// Odd lots first, then those known best.
std::vector<const LearnedLot*> telling_lots(const Learning& learned) {
    std::vector<const LearnedLot*> lots;
    for (const LearnedLot& lot : learned.lots) lots.push_back(&lot);
    std::ranges::stable_sort(lots, [](const LearnedLot* a, const LearnedLot* b) {
        return std::pair(!a->is_odd, a->difference.sd) < std::pair(!b->is_odd, b->difference.sd);
    });
    lots.resize(std::min(lots.size(), most_lots));
    return lots;
}
std::vector<const LearnedLot*> telling_lots(const Learning&&) = delete;

std::string lots_chart(const Learning& learned) {
    const auto lots = telling_lots(learned);
    if (lots.empty()) return "";
    RangeChart chart;
    double low = 0.0, high = 0.0;
    std::size_t odd = 0;
    Table figures{{{"Lot"},
                   {"Malt"},
                   {"Brews", Align::right},
                   {"Against certificate", Align::right},
                   {"9 times in 10", Align::right},
                   {""}},
                  {}};
    for (const LearnedLot* lot : lots) {
        const Estimate& e = lot->difference;
        chart.rows.push_back({fmt::format("{}{} {}", lot->is_odd ? "odd: " : "", lot->lot, lot->item),
                              difference_said(e), 100.0 * e.value, 100.0 * e.low, 100.0 * e.high, lot->is_odd});
        low = std::min(low, 100.0 * e.low);
        high = std::max(high, 100.0 * e.high);
        odd += lot->is_odd ? 1 : 0;
        figures.rows.push_back({lot->lot, lot->item, std::to_string(lot->uses), signed_pct(e.value), difference(e),
                                lot->is_odd ? "odd" : ""});
    }
    chart.words = {"lots", "Malt lots against their certificates",
                   fmt::format("{}, each with its true extract against what its certificate states and the "
                               "interval that holds it nine times in ten; {} odd.",
                               counted(std::ssize(lots), "lot"),
                               odd == 0   ? "none is"
                               : odd == 1 ? "one is"
                                          : std::to_string(odd) + " are"),
                   "Dotted: as certified. Right of it a lot gives more than its paper says.", std::move(figures)};
    if (lots.size() < learned.lots.size())
        chart.words.note += fmt::format(" Shown: {} of {} lots, odd ones first, then those known best.", lots.size(),
                                        learned.lots.size());
    chart.axis = number_axis("extract against the certificate, %", low, high);
    chart.reference = 0.0;
    return range_chart(chart);
}

std::string hints(const Learning& learned) {
    std::string text;
    for (const Drift& drift : learned.drift) {
        std::string items;
        for (const auto& hint : drift.hints) items += html::of_text("li", hint);
        if (!items.empty())
            text += html::of_text("p", fmt::format("Worth a look, since {} moved at {}:",
                                                   drift.quantity == "lauter" ? "lautering" : "conversion",
                                                   drift.from_brew)) +
                    html::element("ul", items);
    }
    return text;
}

} // namespace

std::string trend_parts(const Trend& trend) {
    const Learning& learned = trend.learned;
    if (learned.levels.empty())
        return html::of_text("p", "No brew to learn from yet: lotwort measure BREW POINT VALUE books readings.");
    const Level levels[] = {
        {"level-brewhouse", "The brewhouse", "brewhouse efficiency, %", "", &BrewLevel::brewhouse_level, std::nullopt},
        {"level-conversion", "Conversion", "conversion of the certificates' extract, %", "conversion",
         &BrewLevel::conversion, &BrewLevel::this_conversion},
        {"level-lauter", "Lautering", "lautering against what washing should give, %", "lauter", &BrewLevel::lauter,
         &BrewLevel::this_lauter},
    };
    std::string figures;
    for (const Level& level : levels) figures += level_chart(learned, level);
    return html::element("div",
                         html::paragraphs(headline(learned) + steadiness(learned) + forecasts_line(trend.forecasts)),
                         "class=\"lead\"") +
           hints(learned) + charts(figures + lots_chart(learned));
}

std::string learned_parts(const Trend& trend) {
    const Learning& l = trend.learned;
    Table also{{{"Also learned"}, {"Value", Align::right}, {"9 times in 10", Align::right}}, {}};
    for (const auto& [name, e] : l.others) {
        const LearnedWords words = learned_words(name, e);
        also.rows.push_back({name, words.value, words.interval});
    }
    Table scatter{{{"Scatter"}, {"Found", Align::right}, {"9 times in 10", Align::right}, {"Before", Align::right}},
                  {}};
    for (const auto& s : l.scales)
        scatter.rows.push_back({s.name, fixed(100.0 * s.value, 2) + " %",
                                fmt::format("{:.2f} to {:.2f} %", 100.0 * s.low, 100.0 * s.high),
                                fixed(100.0 * s.prior, 2) + " %"});
    Table instruments{{{"Instrument"},
                       {"Reads", Align::right},
                       {"Stated ±", Align::right},
                       {"Brews", Align::right},
                       {""},
                       {"Would tell"}},
                      {}};
    for (const auto& i : l.instruments)
        instruments.rows.push_back({instrument_words(i), offset_words(i), stated_words(i), std::to_string(i.brews),
                                    standing_words(i), would_tell(i)});
    std::string undecided;
    for (const auto& u : l.undecided)
        undecided += html::of_text("li", fmt::format("{} and {} (correlation {}); would tell: {}", u.between.front(),
                                                     u.between.back(), fixed(u.correlation, 2), u.would_tell));
    std::string remarks;
    for (const auto& remark : l.remarks) remarks += html::of_text("p", remark);
    return html::section("What the brews cannot tell apart yet",
                         undecided.empty() ? "" : html::element("ul", undecided)) +
           html::section("Instruments, against what they should read",
                         l.instruments.empty() ? "" : html::table(instruments, "What each reads high or low")) +
           html::section("Also learned", html::table(also, "Figures of the brewhouse") +
                                             html::table(scatter, "How much brews and lots scatter") + remarks);
}

std::string brewhouse_page(const Trend& trend, Date today) {
    const auto& levels = trend.learned.levels;
    const std::string brews = levels.empty()
                                  ? "no brew to learn from yet"
                                  : fmt::format("{} {}, {} to {}", levels.size(), levels.size() == 1 ? "brew" : "brews",
                                                to_iso(levels.front().date), to_iso(levels.back().date));
    return html::whole({"The brewhouse" + (trend.brewhouse.empty() ? "" : ": " + trend.brewhouse),
                        fmt::format("{}, as of {}", brews, to_iso(today)), trend_parts(trend) + learned_parts(trend)});
}

} // namespace lotwort::report
