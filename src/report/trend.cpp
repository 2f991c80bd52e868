#include "trend_words.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <lotwort/core/format.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/report/trend.hpp>

namespace lotwort::report {

namespace {

std::string pct(const Estimate& e) {
    return fmt::format("{:.1f} to {:.1f} %", 100.0 * e.low, 100.0 * e.high);
}

// The brewhouses that anything was learned of, in the order of their first brews.
std::vector<std::string> brewhouses_of(const Learning& l) {
    std::vector<std::string> names;
    for (const auto& level : l.levels)
        if (std::ranges::find(names, level.brewhouse) == names.end()) names.push_back(level.brewhouse);
    return names;
}

std::string plots(const Learning& l) {
    const auto houses = brewhouses_of(l);
    std::string text;
    for (const auto& house : houses) {
        std::vector<PlotPoint> conversion, lauter, whole;
        for (const auto& level : l.levels) {
            if (level.brewhouse != house) continue;
            conversion.push_back({level.conversion, level.this_conversion.value});
            lauter.push_back({level.lauter, level.this_lauter.value});
            whole.push_back({level.brewhouse_level, std::nullopt});
        }
        const std::string of = houses.size() > 1 ? fmt::format(" of {}", house) : "";
        text += fmt::format("\nCONVERSION{}, % of the certificates' extract (o level, | 9 times in 10, x brew)\n", of) +
                level_plot(conversion) + fmt::format("\nLAUTERING{}, % of what washing should give\n", of) +
                level_plot(lauter) +
                fmt::format("\nBREWHOUSE{}, % of the certificates' extract in the fermenter\n", of) + level_plot(whole);
    }
    return text;
}

// Where each brewhouse stands.
std::string now_text(const Learning& l) {
    Table table{{{"BREWHOUSE", Align::left, true},
                 {"CONVERSION", Align::right},
                 {"LAUTERING", Align::right},
                 {"IN ALL", Align::right},
                 {"9 TIMES IN 10", Align::right}},
                {}};
    for (const auto& house : brewhouses_of(l)) {
        const auto& at = *std::find_if(l.levels.rbegin(), l.levels.rend(),
                                       [&](const BrewLevel& level) { return level.brewhouse == house; });
        table.rows.push_back({house, fixed(100.0 * at.conversion.value, 1) + " %",
                              fixed(100.0 * at.lauter.value, 1) + " %",
                              fixed(100.0 * at.brewhouse_level.value, 1) + " %", pct(at.brewhouse_level)});
    }
    return "\n" + table_text(table);
}

std::string levels_text(const Trend& trend) {
    Table table{{{"BREW"},
                 {"DATE"},
                 {"CONVERSION", Align::right},
                 {"9 TIMES IN 10", Align::right},
                 {"LAUTERING", Align::right},
                 {"9 TIMES IN 10", Align::right}},
                {}};
    const auto& levels = trend.learned.levels;
    const std::size_t from = levels.size() - std::min(levels.size(), static_cast<std::size_t>(std::max(trend.last, 0)));
    for (std::size_t b = from; b < levels.size(); ++b) {
        const auto& at = levels[b];
        table.rows.push_back({at.brew, to_iso(at.date), fixed(100.0 * at.conversion.value, 1) + " %",
                              pct(at.conversion), fixed(100.0 * at.lauter.value, 1) + " %", pct(at.lauter)});
    }
    return table.rows.empty() ? "" : "\n" + table_text(table) + "(the house's level at each brew)\n";
}

constexpr std::size_t lots_on_a_screen = 5;

// Of all lots, or of those that lie furthest off beside how well they are known.
std::string lots_text(const Learning& l, bool all) {
    Table table{{{"LOT"},
                 {"MALT", Align::left, true},
                 {"BREWS", Align::right},
                 {"AGAINST CERTIFICATE", Align::right},
                 {"9 TIMES IN 10", Align::right},
                 {""}},
                {}};
    std::vector<LearnedLot> lots = l.lots;
    if (!all) {
        std::ranges::stable_sort(lots, std::greater<>{},
                                 [](const LearnedLot& lot) { return std::pair(lot.is_odd, lot.probability_off); });
        lots.resize(std::min(lots.size(), lots_on_a_screen));
    }
    for (const auto& lot : lots)
        table.rows.push_back({lot.lot, lot.item, std::to_string(lot.uses), signed_pct(lot.difference.value),
                              difference(lot.difference), lot.is_odd ? "odd" : ""});
    if (all)
        for (const auto& item : l.items)
            table.rows.push_back(
                {"any", item.item, "", signed_pct(item.difference.value), difference(item.difference), ""});
    return table.rows.empty() ? "" : "\n" + table_text(table);
}

// How many brews, and where not all of them taught something: how many did.
std::string brews_text(const Trend& trend) {
    const int taught = static_cast<int>(trend.learned.levels.size()), all = std::max(trend.learned.brews, taught);
    const std::string many = counted(all, "brew");
    return taught == all ? many : fmt::format("{}, {} of them with something to tell,", many, taught);
}

std::string others_text(const Learning& l) {
    Table table{{{"ALSO LEARNED", Align::left, true}, {"VALUE", Align::right}, {"9 TIMES IN 10", Align::right}}, {}};
    for (const auto& [name, e] : l.others) {
        const LearnedWords words = learned_words(name, e);
        table.rows.push_back({name, words.value, words.interval});
    }
    return table.rows.empty() ? "" : "\n" + table_text(table);
}

std::string hints_text(const Learning& l) {
    std::string text;
    for (const auto& d : l.drift) {
        if (d.is_of_malt) continue;
        text += fmt::format("\nWorth a look, since {} moved at {}\n",
                            d.quantity == "lauter" ? "lautering" : "conversion", d.from_brew);
        for (const auto& hint : d.hints) text += wrapped("  " + hint, 4);
    }
    return text;
}

std::string undecided_text(const Learning& l) {
    if (l.undecided.empty()) return "";
    std::string text = "\nUndecided: what the brews cannot tell apart yet\n";
    for (const auto& u : l.undecided)
        text += wrapped(fmt::format("  {} and {} (correlation {}); would tell: {}", u.between.front(), u.between.back(),
                                    fixed(u.correlation, 2), u.would_tell),
                        4);
    return text;
}

std::string scales_text(const Learning& l) {
    Table table{{{"SCATTER", Align::left, true},
                 {"FOUND", Align::right},
                 {"9 TIMES IN 10", Align::right},
                 {"BEFORE", Align::right}},
                {}};
    for (const auto& s : l.scales)
        table.rows.push_back({s.name, fixed(100.0 * s.value, 2) + " %",
                              fmt::format("{:.2f} to {:.2f} %", 100.0 * s.low, 100.0 * s.high),
                              fixed(100.0 * s.prior, 2) + " %"});
    return table.rows.empty() ? "" : "\n" + table_text(table);
}

} // namespace

std::string trend_text(const Trend& trend) {
    const Learning& l = trend.learned;
    if (l.levels.empty()) {
        std::string text = "no brew to learn from yet; next: lotwort measure BREW POINT VALUE\n";
        for (const auto& remark : l.remarks) text += wrapped(remark, 2);
        return text;
    }
    std::string text = fmt::format("{} on {}, {} to {}\n\n", brews_text(trend), trend.brewhouse,
                                   to_iso(l.levels.front().date), to_iso(l.levels.back().date));
    text += headline(l) + steadiness(l) + forecasts_line(trend.forecasts);
    if (!trend.full) {
        text += now_text(l) + lots_text(l, false);
        text += "\nplots, all lots, instruments and what is open: lotwort trend --full\n";
    } else {
        text += hints_text(l) + plots(l) + levels_text(trend) + lots_text(l, true) + instruments_text(l.instruments) +
                undecided_text(l) + others_text(l) + scales_text(l);
    }
    if (!l.remarks.empty()) text += "\n";
    for (const auto& remark : l.remarks) text += wrapped(remark, 2);
    return text;
}

} // namespace lotwort::report
