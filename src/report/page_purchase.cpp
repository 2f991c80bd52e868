// The purchase plan as a page: what to order of whom, by when, and what it comes to.
#include "html_page.hpp"
#include "html_text.hpp"
#include "page_parts.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/offer.hpp>

namespace lotwort::report {

namespace {

std::string money(double amount) {
    return fixed(amount, 2);
}

const Offer& offer_of(const PurchasePage& page, const plan::PurchaseLine& line) {
    return page.wish.offers[page.drawn.offers[line.offer]];
}

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
    return html::table(table, "Order lines, prices in " + page.currency);
}

std::string late_table(const PurchasePage& page) {
    Table table{{{"Item"}, {"Brew"}, {"Needed"}, {"Can be had"}}, {}};
    for (const auto& late : page.plan.late)
        table.rows.push_back({late.item, late.brew, to_iso(late.date),
                              late.for_money  ? "not for the budget"
                              : late.earliest ? to_iso(*late.earliest)
                                              : "nobody offers it"});
    return html::table(table, "What cannot be had in time");
}

std::string sum(const PurchasePage& page) {
    const auto& plan = page.plan;
    if (page.drawn.wanted.needs.empty()) return "No plan needs anything.";
    if (!plan.found) return "No plan was found within the time.";
    if (plan.orders.empty()) return "Nothing is to be bought.";
    return fmt::format("{} {}: {} of goods and {} of deliveries. {}", money(plan.spent()), page.currency,
                       money(plan.goods), money(plan.deliveries),
                       plan.proven_optimal
                           ? "No plan costs less."
                           : fmt::format("It is within {} % of the least possible.", fixed(100.0 * plan.gap, 1)));
}

} // namespace

std::string purchase_page(const PurchasePage& page) {
    std::string says;
    for (const auto& said : page.drawn.says) says += html::of_text("li", said);
    return html::whole({"What to buy", "as of " + to_iso(page.wish.today),
                        html::of_text("p", sum(page), "class=\"lead\"") + charts(orders_chart(page)) +
                            html::section("Orders", lines_table(page)) + html::section("Late", late_table(page)) +
                            html::section("Taken for granted", says.empty() ? "" : html::element("ul", says))});
}

} // namespace lotwort::report
