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
#include <map>

namespace lotwort::report {

namespace {

constexpr std::size_t most_lots = 24; // in one chart

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

// Changes that have the same said of them are named together.
std::string hints(const Learning& learned) {
    std::map<std::pair<std::string, std::vector<std::string>>, std::vector<std::string>> brews; // by quantity and hints
    for (const Drift& drift : learned.drift)
        if (!drift.hints.empty()) brews[{drift.quantity, drift.hints}].push_back(drift.from_brew);
    std::string text;
    for (const auto& [what, moved_at] : brews) {
        std::string items;
        for (const auto& hint : what.second) items += html::of_text("li", hint);
        text += html::of_text("p", fmt::format("Worth a look, since {} moved at {}:",
                                               what.first == "lauter" ? "lautering" : "conversion",
                                               fmt::join(moved_at, ", "))) +
                html::element("ul", items);
    }
    return text;
}

constexpr std::size_t changes_in_sight = 3;

std::ptrdiff_t place_of_brew(const std::vector<BrewLevel>& levels, const std::string& brew) {
    return std::ranges::find(levels, brew, &BrewLevel::brew) - levels.begin();
}

// The last changes first, older ones folded; then what else is odd.
std::string changes(const Learning& learned) {
    Learning recent = learned, older;
    older.drift = learned.drift;
    std::ranges::stable_sort(older.drift, std::greater{},
                             [&](const Drift& drift) { return place_of_brew(learned.levels, drift.from_brew); });
    const auto split =
        older.drift.begin() + static_cast<std::ptrdiff_t>(std::min(changes_in_sight, older.drift.size()));
    recent.drift.assign(older.drift.begin(), split);
    older.drift.erase(older.drift.begin(), split);
    std::string text = html::paragraphs(headline(recent));
    if (!older.drift.empty())
        text += html::element("details", html::of_text("summary", counted(std::ssize(older.drift), "earlier change")) +
                                             html::paragraphs(headline(older)));
    return text + hints(recent);
}

} // namespace

std::string trend_parts(const Trend& trend) {
    const Learning& learned = trend.learned;
    if (learned.levels.empty())
        return html::of_text("p", "No brew to learn from yet: lotwort measure BREW POINT VALUE books readings.");
    return html::element("div",
                         changes(learned) + html::paragraphs(steadiness(learned) + forecasts_line(trend.forecasts)),
                         "class=\"lead\"") +
           charts(level_charts(trend) + lots_chart(learned));
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
           html::section("Also learned", charts(html::table(also, "Figures of the brewhouse") +
                                                html::table(scatter, "How much brews and lots scatter")) +
                                             remarks);
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
