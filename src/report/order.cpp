#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/format.hpp>
#include <lotwort/exchange/record_json.hpp>
#include <lotwort/report/offer.hpp>
#include <lotwort/report/order.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/text.hpp>

namespace lotwort::report {

namespace {

bool is_late(const ShownOrder& shown, Date today) {
    return shown.is_open && shown.order.arrives && *shown.order.arrives < today;
}

const OrderRest* rest_of_line(const ShownOrder& shown, std::size_t line) {
    const auto found = std::ranges::find(shown.rests, line, &OrderRest::line);
    return found == shown.rests.end() ? nullptr : &*found;
}

std::string due_text(const ShownOrder& shown, Date today) {
    return date_text(shown.order.arrives) + (is_late(shown, today) ? " late" : "");
}

// A row for each line of the order that something is awaited of, or for each.
void add_rows(const ShownOrder& shown, const OrderList& list, Table& table) {
    bool first = true;
    for (std::size_t l = 0; l < shown.order.lines.size(); ++l) {
        const OrderLine& line = shown.order.lines[l];
        const OrderRest* rest = rest_of_line(shown, l);
        if (!list.whole && rest != nullptr && rest->awaited.units <= 0) continue;
        const std::string pack = pack_text(line);
        table.rows.push_back(
            {first ? shown.order.code : "", first ? shown.order.supplier : "", first ? due_text(shown, list.today) : "",
             line.item, pack.empty() ? std::to_string(line.packs) : fmt::format("{} x {}", line.packs, pack),
             money_text(line.cost), rest == nullptr || rest->awaited.units <= 0 ? "-" : to_text(rest->awaited)});
        first = false;
    }
}

// "O1 with 45.00 of freight, shared by mass: pale ale malt 156.00, crystal malt 18.50"
std::string freight_text(const Order& order) {
    std::string billed;
    if (order.freight_after)
        billed = wrapped(fmt::format("{}: {} of freight was billed when goods had come, shared by {}", order.code,
                                     money_text(*order.freight_after), word(order.shared_by.value_or(SharedBy::value))),
                         2);
    if (!order.freight && !order.discount) return billed;
    std::vector<std::string> parts, lines;
    if (order.freight)
        parts.push_back(fmt::format("with {} of freight, shared by {}", money_text(*order.freight),
                                    word(order.shared_by.value_or(SharedBy::value))));
    if (order.discount) parts.push_back(fmt::format("less {} of discount", money_text(*order.discount)));
    const std::vector<Money> costs = landed_costs(order);
    for (std::size_t l = 0; l < order.lines.size(); ++l)
        lines.push_back(fmt::format("{} {}", order.lines[l].item, money_text(costs[l])));
    return wrapped(fmt::format("{} {}: {}", order.code, fmt::join(parts, ", "), fmt::join(lines, ", ")), 2) + billed;
}

} // namespace

std::string order_text(const OrderList& list) {
    std::string text;
    for (const std::string& said : list.says) text += wrapped(said, 2);
    Table table{{{"ORDER"},
                 {"SUPPLIER", Align::left, true},
                 {"DUE"},
                 {"ITEM", Align::left, true},
                 {"ORDERED", Align::right},
                 {"COST", Align::right},
                 {"AWAITED", Align::right}},
                {}};
    for (const ShownOrder& shown : list.orders) add_rows(shown, list, table);
    if (table.rows.empty())
        text += "nothing is on order; lotwort buy says what to order\n";
    else
        text += table_text(table);
    for (const ShownOrder& shown : list.orders)
        if (list.whole) text += freight_text(shown.order);
    for (const ShownOrder& shown : list.orders)
        if (list.whole && shown.order.closed)
            text += wrapped(fmt::format("{} is closed: {}", shown.order.code, *shown.order.closed), 2);
    return text + (list.booked != nullptr ? booked_line(*list.booked) : "");
}

std::string order_csv(const OrderList& list) {
    std::string csv = csv_row({"order", "supplier", "ordered_on", "arrives", "late", "item", "packs", "unit", "ordered",
                               "received", "awaited", "cost", "landed", "currency", "closed"});
    for (const ShownOrder& shown : list.orders) {
        const std::vector<Money> landed = landed_costs(shown.order);
        for (std::size_t l = 0; l < shown.order.lines.size(); ++l) {
            const OrderLine& line = shown.order.lines[l];
            const OrderRest* rest = rest_of_line(shown, l);
            const auto number = [&](Amount OrderRest::*amount) {
                return rest == nullptr ? std::string() : amount_number(rest->*amount);
            };
            csv +=
                csv_row({shown.order.code, shown.order.supplier, to_iso(shown.order.ordered),
                         date_text(shown.order.arrives), is_late(shown, list.today) ? "late" : "", line.item,
                         std::to_string(line.packs), rest == nullptr ? "" : amount_unit(rest->ordered),
                         number(&OrderRest::ordered), number(&OrderRest::received), number(&OrderRest::awaited),
                         money_text(line.cost), money_text(landed[l]), list.currency, shown.order.closed.value_or("")});
        }
    }
    return csv;
}

std::string order_json(const OrderList& list) {
    JsonWriter w;
    w.begin_object().field("schema", "lotwort/order/1").field("on", list.today).field("currency", list.currency);
    w.key("orders").begin_array();
    for (const ShownOrder& shown : list.orders) {
        w.begin_object().field("order", shown.order.code).field("supplier", shown.order.supplier);
        w.field("ordered", shown.order.ordered).field("arrives", shown.order.arrives);
        if (shown.order.freight) write_money_field(w, "freight", *shown.order.freight);
        if (shown.order.freight_after) write_money_field(w, "freight_after", *shown.order.freight_after);
        if (shown.order.discount) write_money_field(w, "discount", *shown.order.discount);
        if (shown.order.shared_by) w.field("shared_by", word(*shown.order.shared_by));
        const std::vector<Money> landed = landed_costs(shown.order);
        w.field("open", shown.is_open).field("late", is_late(shown, list.today)).field("closed", shown.order.closed);
        w.key("lines").begin_array();
        for (std::size_t l = 0; l < shown.order.lines.size(); ++l) {
            const OrderLine& line = shown.order.lines[l];
            w.begin_object(JsonWriter::Layout::one_line).field("item", line.item).field("packs", line.packs);
            write_money_field(w, "cost", line.cost);
            write_money_field(w, "landed", landed[l]);
            if (const OrderRest* rest = rest_of_line(shown, l)) {
                write_amount_field(w, "ordered", rest->ordered);
                write_amount_field(w, "received", rest->received);
                write_amount_field(w, "awaited", rest->awaited);
            }
            w.end_object();
        }
        w.end_array().field("received", shown.order.received).end_object();
    }
    w.end_array();
    if (list.booked != nullptr) booked_fields(w, *list.booked);
    w.end_object();
    return std::move(w).text();
}

} // namespace lotwort::report
