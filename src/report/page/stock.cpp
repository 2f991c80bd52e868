// The stock as a page, and the whole brewery on one.
#include "html_page.hpp"
#include "html_text.hpp"
#include "parts.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

constexpr std::size_t most_items = 30; // in the chart of cover
constexpr int days_shown = 180, days_ageing = 60;

std::string a_week(const Cover& cover) {
    const Amount week{cover.of.free.measure, static_cast<std::int64_t>(cover.used_a_day * 7.0 + 0.5)};
    // to three digits: 12.3 kg, not 12.345678 kg
    const double units = static_cast<double>(week.units);
    std::int64_t step = 1;
    while (static_cast<double>(step) * 1000.0 <= units) step *= 10;
    return to_text(Amount{week.measure, (week.units + step / 2) / step * step});
}

std::vector<const Cover*> soonest_first(const StockPage& page) {
    std::vector<const Cover*> covers;
    for (const Cover& cover : page.covers)
        if (cover.lasts_until) covers.push_back(&cover);
    std::ranges::stable_sort(covers, [](const Cover* a, const Cover* b) { return *a->lasts_until < *b->lasts_until; });
    return covers;
}
std::vector<const Cover*> soonest_first(const StockPage&&) = delete;

RangeRow cover_row(const Cover& cover, Date today) {
    const double end = day_number(*cover.lasts_until);
    const bool spoils_first = cover.of.best_before && *cover.of.best_before < *cover.lasts_until;
    RangeRow row{cover.of.item, fmt::format("{}, to {}", to_text(cover.of.free), to_iso(*cover.lasts_until)),
                 end,           day_number(today),
                 end,           cover.of.free.units <= 0 || spoils_first};
    if (cover.of.best_before && *cover.of.best_before > today) row.mark = day_number(*cover.of.best_before);
    return row;
}

std::string cover_chart(const StockPage& page) {
    const auto covers = soonest_first(page);
    if (covers.empty()) return "";
    const Date today = page.items.today;
    RangeChart chart;
    Table figures{{{"Item"}, {"Free", Align::right}, {"Used a week", Align::right}, {"Lasts until"}, {"Best before"}},
                  {}};
    Date last = today + std::chrono::days(14);
    for (const Cover* cover : covers) {
        figures.rows.push_back({cover->of.item, to_text(cover->of.free), a_week(*cover), to_iso(*cover->lasts_until),
                                date_text(cover->of.best_before)});
        if (chart.rows.size() >= most_items) continue;
        chart.rows.push_back(cover_row(*cover, today));
        last = std::max(last, *cover->lasts_until);
    }
    last = std::min(last, today + std::chrono::days(days_shown));
    for (RangeRow& row : chart.rows) // a mark beyond the axis would stand at its end and mislead
        if (row.mark && *row.mark > day_number(last)) row.mark.reset();
    chart.words = {"cover", "How long the stock lasts",
                   fmt::format("{} that brews took in the last {}, soonest out first: {} lasts until {}.",
                               counted(std::ssize(covers), "item"), counted(page.window_days, "day"),
                               covers.front()->of.item, to_iso(*covers.front()->lasts_until)),
                   fmt::format("What is free, used as in the last {}; deliveries on order counted. Upright mark: "
                               "the earliest best before. In bold red: nothing free, or it spoils first.",
                               counted(page.window_days, "day")),
                   std::move(figures)};
    if (*covers.back()->lasts_until > last) chart.words.note += " Arrow: it lasts beyond that day.";
    chart.axis = day_axis("", today, last);
    return range_chart(chart);
}

std::string items_table(const StockPage& page) {
    Table table{{{"Item"},
                 {"On hand", Align::right},
                 {"Promised", Align::right},
                 {"Free", Align::right},
                 {"Best before"},
                 {"Value", Align::right},
                 {"Lasts until"}},
                {}};
    for (const StockLine& line : page.items.lines) {
        const auto cover = std::ranges::find_if(page.covers, [&](const Cover& c) {
            return c.of.item == line.item && c.of.free.measure == line.on_hand.measure;
        });
        table.rows.push_back({line.item, to_text(line.on_hand), line.promised.units == 0 ? "-" : to_text(line.promised),
                              to_text(line.free), date_text(line.best_before),
                              line.value ? money_text(*line.value) : "",
                              cover == page.covers.end() ? "" : date_text(cover->lasts_until)});
    }
    if (table.rows.empty()) return html::of_text("p", "No stock yet: lotwort receive ITEM AMOUNT books a delivery.");
    std::string text = html::table(table, "Stock by item");
    text += html::of_text("p", "Value at cost: " + money_text(page.items.value, page.items.currency) +
                                   (page.items.lots_without_price == 0
                                        ? ""
                                        : fmt::format(", {} without a price",
                                                      page.items.lots_without_price == 1
                                                          ? std::string("one lot")
                                                          : fmt::format("{} lots", page.items.lots_without_price))));
    return text;
}

std::string orders_table(const StockPage& page) {
    Table table{{{"Item"}, {"To come", Align::right}, {"Due"}, {"From"}, {"Order"}, {""}}, {}};
    for (const OnOrder& order : page.on_order)
        table.rows.push_back({order.item, to_text(order.awaited), date_text(order.due), order.supplier, order.order,
                              order.due && *order.due < page.items.today ? "late" : ""});
    return html::table(table, "Open orders, the soonest first");
}

std::string ageing_table(const StockPage& page) {
    Table table{{{"Lot"}, {"Item"}, {"On hand", Align::right}, {"Best before"}, {"Why it is here"}}, {}};
    for (const StockLine& line : page.lots.lines) {
        std::string why;
        if (line.held)
            why = "on hold: " + *line.held;
        else if (line.best_before && *line.best_before < page.lots.today)
            why = "past its best before";
        else if (line.best_before && *line.best_before <= page.lots.today + std::chrono::days(days_ageing))
            why = counted((*line.best_before - page.lots.today).count(), "day") + " left";
        if (!why.empty())
            table.rows.push_back(
                {line.lot, line.item, to_text(line.on_hand), date_text(line.best_before), std::move(why)});
    }
    return html::table(table, "Lots to look at");
}

// What is out, what runs out next, and what stands too long.
std::string lead(const StockPage& page) {
    std::vector<std::string> out;
    const Cover* first = nullptr;
    const auto covers = soonest_first(page);
    for (const Cover* cover : covers) {
        if (cover->of.free.units <= 0)
            out.push_back(cover->of.item);
        else if (first == nullptr)
            first = cover;
    }
    std::string text;
    if (!out.empty()) text += fmt::format("Nothing free of {}. ", fmt::join(out, ", "));
    if (first != nullptr)
        text += fmt::format("{} is the first to run out, about {}, used as in the last {}.",
                            out.empty() ? capitalised(first->of.item) : first->of.item, to_iso(*first->lasts_until),
                            counted(page.window_days, "day"));
    return text.empty() ? "" : html::of_text("p", text, "class=\"lead\"");
}

} // namespace

std::string stock_parts(const StockPage& page) {
    return charts(cover_chart(page)) + items_table(page) + html::section("On order", orders_table(page)) +
           html::section("Lots to look at", ageing_table(page));
}

std::string stock_page(const StockPage& page) {
    return html::whole({"The stock", "as of " + to_iso(page.items.today), lead(page) + stock_parts(page)});
}

} // namespace lotwort::report
