#include "page/html_page.hpp"
#include "page/html_text.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/report/offer.hpp>
#include <lotwort/report/order_letter.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

struct Line {
    const OrderLine* line;
    std::string packs; // of which nothing has come yet, where they are whole
    std::string amount;
    bool is_whole = true; // nothing of it has come
};

std::vector<Line> lines_of(const OrderLetter& letter) {
    std::vector<Line> lines;
    for (std::size_t l = 0; l < letter.shown.order.lines.size(); ++l) {
        const OrderLine& line = letter.shown.order.lines[l];
        const auto rest = std::ranges::find(letter.shown.rests, l, &OrderRest::line);
        if (rest == letter.shown.rests.end()) {
            lines.push_back({&line, std::to_string(line.packs), ""});
            continue;
        }
        if (rest->awaited.units <= 0) continue;
        const std::int64_t pack = rest->ordered.units / line.packs;
        const bool whole_packs = pack > 0 && rest->awaited.units % pack == 0;
        lines.push_back({&line, whole_packs ? std::to_string(rest->awaited.units / pack) : "rest",
                         to_text(rest->awaited), rest->awaited.units == rest->ordered.units});
    }
    return lines;
}

// What is still to come of an order has its price only as far as lines are whole.
bool are_whole(const std::vector<Line>& lines, const Order& order) {
    return lines.size() == order.lines.size() && std::ranges::all_of(lines, &Line::is_whole);
}

std::string price_of(const OrderLine& line) { // of a pack; not where it would be rounded
    return line.cost.minor % line.packs == 0 ? money_text(Money{line.cost.minor / line.packs}) : "";
}

Table table_of(const std::vector<Line>& lines, bool prices, std::string_view indent) {
    Table table{{{std::string(indent) + "PACKS", Align::right},
                 {"PACK", Align::right},
                 {"ITEM", Align::left, true},
                 {"AMOUNT", Align::right}},
                {}};
    if (prices) table.columns.insert(table.columns.end(), {{"PRICE", Align::right}, {"COST", Align::right}});
    for (const Line& line : lines) {
        table.rows.push_back({line.packs, pack_text(*line.line), line.line->item, line.amount});
        if (!prices) continue;
        table.rows.back().push_back(line.is_whole ? price_of(*line.line) : "");
        table.rows.back().push_back(line.is_whole ? money_text(line.line->cost) : "");
    }
    return table;
}

// "delivery 18.00", "less 3.00 of discount", "together 59.90 EUR": of a whole order.
std::vector<std::string> sums_of(const OrderLetter& letter, const std::vector<Line>& lines) {
    const Order& order = letter.shown.order;
    if (!letter.prices || !are_whole(lines, order)) return {};
    std::vector<std::string> sums;
    Money all{};
    for (const OrderLine& line : order.lines) all.minor += line.cost.minor;
    if (letter.delivery && letter.delivery->minor > 0) {
        sums.push_back("delivery " + money_text(*letter.delivery));
        all.minor += letter.delivery->minor;
    }
    if (order.discount) {
        sums.push_back(fmt::format("less {} of discount", money_text(*order.discount)));
        all.minor -= order.discount->minor;
    }
    sums.push_back(fmt::format("together {} {}", money_text(all), letter.currency));
    return sums;
}

std::string wanted_on(const Order& order) {
    return order.arrives ? "please deliver on " + to_iso(*order.arrives) : "please say when it comes";
}

} // namespace

std::string order_letter_text(const OrderLetter& letter) {
    const Order& order = letter.shown.order;
    const std::vector<Line> lines = lines_of(letter);
    std::string text = fmt::format("Order {} to {}, of {}\n", order.code, order.supplier, to_iso(order.ordered));
    if (lines.empty()) return text + "all of it has come\n";
    if (!are_whole(lines, order)) text += "still to come:\n";
    text += fmt::format("{}\n\n{}", wanted_on(order), table_text(table_of(lines, letter.prices, "  ")));
    for (const std::string& sum : sums_of(letter, lines)) text += "  " + sum + "\n";
    return text;
}

std::string order_letter_page(const OrderLetter& letter) {
    const Order& order = letter.shown.order;
    const std::vector<Line> lines = lines_of(letter);
    std::string body;
    if (lines.empty()) {
        body = html::of_text("p", "All of it has come.");
    } else {
        body = html::of_text("p", wanted_on(order));
        Table table = table_of(lines, letter.prices, "");
        const std::vector<std::string> headings{"Packs", "Pack", "Item", "Amount", "Price", "Cost"};
        for (std::size_t c = 0; c < table.columns.size(); ++c) table.columns[c].heading = headings[c];
        table.columns.front().align = Align::left;
        body += html::element("div",
                              html::table(table, are_whole(lines, order) ? "What is ordered" : "What is still to come"),
                              "class=\"letter\"");
        for (const std::string& sum : sums_of(letter, lines)) body += html::of_text("p", sum);
    }
    return html::whole({.title = fmt::format("Order {} to {}", order.code, order.supplier),
                        .under = "of " + to_iso(order.ordered),
                        .body = body,
                        .for_paper = true,
                        .rows = html::Rows::close});
}

} // namespace lotwort::report
