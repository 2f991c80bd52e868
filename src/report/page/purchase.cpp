// The purchase plan as a page: what to order of whom, by when, and what it comes to.
#include "html_page.hpp"
#include "html_text.hpp"
#include "parts.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/offer.hpp>
#include <lotwort/report/purchase_words.hpp>

namespace lotwort::report {

namespace {

std::string money(double amount) {
    return fixed(amount, 2);
}

const Offer& offer_of(const PurchasePage& page, const plan::PurchaseLine& line) {
    return page.wish.offers[page.drawn.offers[line.offer]];
}
const Offer& offer_of(const PurchasePage&&, const plan::PurchaseLine&) = delete;

std::string orders_chart(const PurchasePage& page) {
    const auto& orders = page.plan.orders;
    if (orders.empty()) return "";
    RangeChart chart;
    Table figures{{{"Supplier"}, {"Order by"}, {"Arrives"}, {"Lines", Align::right}, {"Cost", Align::right}}, {}};
    Date first = page.wish.today, last = page.wish.today;
    for (const auto& order : orders) {
        chart.rows.push_back({order.supplier,
                              fmt::format("by {}, {} {}", to_iso(order.order_by), money(order.cost()), page.currency),
                              day_number(order.arrives), day_number(order.order_by), day_number(order.arrives)});
        figures.rows.push_back({order.supplier, to_iso(order.order_by), to_iso(order.arrives),
                                std::to_string(order.lines.size()), money(order.cost())});
        first = std::min(first, order.order_by);
        last = std::max(last, order.arrives);
    }
    chart.words = {"orders", "When to order",
                   fmt::format("{} orders, each from the day it must be placed to the day it arrives; the first by {} "
                               "from {}.",
                               orders.size(), to_iso(orders.front().order_by), orders.front().supplier),
                   "Line: from the day to order by to the delivery, the point.", std::move(figures)};
    chart.axis = day_axis("", first, last);
    return range_chart(chart);
}

std::string lines_table(const PurchasePage& page) {
    Table table{{{"Supplier"},
                 {"Order by"},
                 {"Item"},
                 {"Packs", Align::right},
                 {"Of", Align::right},
                 {"Price", Align::right},
                 {"Cost", Align::right}},
                {}};
    for (const auto& order : page.plan.orders) {
        for (const auto& line : order.lines) {
            const Offer& offer = offer_of(page, line);
            table.rows.push_back({order.supplier, to_iso(order.order_by), offer.item, std::to_string(line.packs),
                                  pack_text(offer), money(line.price), money(line.cost)});
        }
        if (order.delivery > 0.0)
            table.rows.push_back(
                {order.supplier, to_iso(order.order_by), "delivery", "", "", "", money(order.delivery)});
    }
    if (!table.rows.empty()) table.rows.push_back({"", "", "to pay", "", "", "", money(page.plan.spent())});
    return html::table(table, "Order lines, prices in " + page.currency);
}

std::string late_table(const PurchasePage& page) {
    Table table{{{"Item"}, {"Brew"}, {"Lacks", Align::right}, {"Needed"}, {"Can be had"}}, {}};
    for (const auto& late : page.plan.late)
        table.rows.push_back({late.item, late.brew,
                              to_text(page.drawn.amount_of(late.item, std::ceil(late.amount_short * 1e3) / 1e3)),
                              to_iso(late.date),
                              late.for_money  ? "not for the budget"
                              : late.earliest ? to_iso(*late.earliest)
                                              : "nobody offers it"});
    return html::table(table, "What cannot be had in time");
}

// What holds, in a sentence or two: what to pay first, for that is what a brewer asks.
std::string lead(const PurchasePage& page) {
    const auto& plan = page.plan;
    if (page.drawn.wanted.needs.empty()) return "No plan needs anything.";
    if (!plan.found) return "No plan was found within the time.";
    if (plan.orders.empty()) return capitalised(nothing_sentence(page.drawn, plan)) + ".";
    return fmt::format("{} {} to pay, for {} {}{}.", money(plan.spent()), page.currency, plan.orders.size(),
                       plan.orders.size() == 1 ? "order" : "orders",
                       plan.late.empty() ? "; all of it comes in time" : "; some of it comes late, or not at all");
}

std::string money_table(const PurchasePage& page) {
    if (page.plan.orders.empty()) return "";
    Table table{{{"What"}, {page.currency, Align::right}}, {}};
    for (const MoneyRow& row : money_rows(page.plan, page.drawn.wanted.until))
        table.rows.push_back({capitalised(row.what), money(row.amount)});
    return html::table(table, "What it comes to") + html::of_text("p", capitalised(bound_sentence(page.plan, "")) + ".");
}

std::string purposes_table(const PurchasePage& page) {
    Table table{{{"Item"},
                 {"Bought", Align::right},
                 {"For brews", Align::right},
                 {"Safety stock", Align::right},
                 {"Left", Align::right},
                 {"Lasts to"},
                 {"Used by"}},
                {}};
    for (const auto& purpose : page.purposes) {
        const PurposeWords words = purpose_words(page.wish, page.drawn, purpose);
        table.rows.push_back({purpose.item, words.bought, words.for_brews, words.safety, words.left,
                              words.lasts_to ? to_iso(*words.lasts_to) : "",
                              fmt::format("{}", fmt::join(purpose.brews, ", "))});
    }
    return html::table(table, "What the packs are for");
}

// What is worth a word beside the figures.
std::string remarks(const PurchasePage& page) {
    std::string items;
    for (const auto& said : safety_sentences(page.drawn, page.plan)) items += html::of_text("li", capitalised(said));
    for (const auto& fill : page.fills)
        items += html::of_text("li", capitalised(fill_sentence(page.wish, page.drawn, page.plan, fill, page.currency)));
    for (const auto& said : page.drawn.says) items += html::of_text("li", said);
    return items.empty() ? "" : html::element("ul", items);
}

} // namespace

std::string purchase_page(const PurchasePage& page) {
    return html::whole({"What to buy", "as of " + to_iso(page.wish.today),
                        html::of_text("p", lead(page), "class=\"lead\"") + charts(orders_chart(page)) +
                            html::section("Orders", lines_table(page)) + html::section("Late", late_table(page)) +
                            html::section("Money", money_table(page)) +
                            html::section("What for", purposes_table(page)) +
                            html::section("Worth knowing", remarks(page))});
}

} // namespace lotwort::report
