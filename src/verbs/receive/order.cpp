#include "order.hpp"
#include "delivery.hpp"
#include "doubts.hpp"
#include "order_receipt.hpp"
#include "silo.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/receive.hpp>
#include <lotwort/stock/order_rest.hpp>

namespace lotwort::verbs {

namespace {

Money price_of_rest(const Order& order, const OrderRest& rest) {
    return price_as_ordered({rest.ordered, landed_costs(order)[rest.line]}, rest.awaited, rest.received);
}

// All that is awaited is of one line: the order says item and amount, and the words what else is known of it.
std::vector<Lot> whole_line(Call& call, Shelf& shelf, const Order& order, const OrderRest& rest) {
    const std::string& item = order.lines[rest.line].item;
    const auto packs = parse_packs(call).value_or(1);
    if (rest.awaited.units % packs != 0)
        throw Error(ErrorKind::refused, fmt::format("{} are no {} equal packs", to_text(rest.awaited), packs),
                    fmt::format("say what one holds: lotwort receive --order {} \"{}\" AMOUNT --packs {}", order.code,
                                item, packs));
    const Amount each{rest.awaited.measure, rest.awaited.units / packs};
    Delivery delivery = parse_delivery_of(call, shelf, item, [&](const Item&) { return each; });
    if (!delivery.lot.price) delivery.lot.price = price_of_rest(order, rest);
    return packs_of(call, shelf, delivery.lot);
}

// Of several lines, each a lot: what is said of the delivery is said of all of them.
std::vector<Lot> whole_lines(Call& call, Shelf& shelf, const Order& order, const std::vector<OrderRest>& rests) {
    call.goes(fmt::format("{} lots come of order {} at once", rests.size(), order.code),
              fmt::format("receive that one by itself: lotwort receive --order {} \"{}\" AMOUNT", order.code,
                          order.lines[rests.front().line].item));
    std::vector<Lot> lots;
    for (const OrderRest& rest : rests) {
        Lot lot;
        lot.item = order.lines[rest.line].item;
        lot.code = shelf.free_code(lot.item);
        shelf.give(lot.code, lot.item);
        lot.received = call.on();
        lot.received_amount = rest.awaited;
        lot.price = price_of_rest(order, rest);
        parse_keeping(call, lot);
        lots.push_back(std::move(lot));
    }
    return lots;
}

// All that is awaited of the order, at the prices agreed.
std::vector<Lot> all_awaited(Call& call, Shelf& shelf, const Order& order, const std::vector<LotState>& known) {
    std::vector<OrderRest> rests = rest_of(order, known);
    std::erase_if(rests, [](const OrderRest& rest) { return rest.awaited.units <= 0; });
    if (rests.empty())
        throw Error(ErrorKind::refused, fmt::format("order {} does not say what its packs hold", order.code),
                    fmt::format("say what came: lotwort receive --order {} ITEM AMOUNT", shell_word(order.code)));
    return rests.size() == 1 ? whole_line(call, shelf, order, rests.front()) : whole_lines(call, shelf, order, rests);
}

// One delivery of the order, as its words say; what they do not say of the price, the order does.
std::vector<Lot> one_delivery(Call& call, Shelf& shelf, const Order& order, const std::vector<LotState>& known) {
    Delivery delivery = parse_delivery(call, shelf);
    const auto ordered = ordered_of(order, delivery.lot.item);
    if (!ordered) {
        std::string items;
        for (const OrderLine& line : order.lines) items += (items.empty() ? "" : ", ") + line.item;
        throw Error(ErrorKind::refused, fmt::format("order {} is not of {}", order.code, delivery.lot.item),
                    fmt::format("it is of {}; receive this without --order", items));
    }
    const Amount one = delivery.lot.received_amount;
    if (!delivery.lot.price && ordered->amount.measure == one.measure)
        delivery.lot.price = price_as_ordered(*ordered, {one.measure, one.units * parse_packs(call).value_or(1)},
                                              came_of(order, delivery.lot.item, one.measure, known));
    return packs_of(call, shelf, delivery.lot);
}

// "PAM-2", "PAM-2, CM-1": by which they are found again in the history.
std::string named(const std::vector<Lot>& lots) {
    std::string text;
    for (const Lot& lot : lots) text += (text.empty() ? "" : ", ") + lot.code;
    return text;
}

void demand_of_order(const Call& call) {
    for (const char* other : {"delivery", "from-brew", "supplier"})
        if (call.args.has(other))
            throw Error(ErrorKind::usage, fmt::format("--{} and --order do not go together", other),
                        "the order says what came of whom");
    if (call.args.has("ITEM") == call.args.has("AMOUNT")) return;
    throw Error(ErrorKind::usage, "AMOUNT is missing: how much, with its unit: 25kg",
                "write: lotwort receive --order O1 ITEM AMOUNT, or lotwort receive --order O1 for all of it");
}

} // namespace

// Closes the order in whole or in part. Where it differs from what was ordered, that is told.
Answer receive_order(Call& call, const std::string& code) {
    demand_of_order(call);
    const Book book = call.ledger().definitions();
    const auto known = call.ledger().lots();
    Order order = open_order(book, code, known);
    const auto reason = call.args.text("no-more");
    if (reason) order.closed = parse_name(*reason, "reason");
    Shelf shelf(call.ledger());
    Book part;
    if (call.args.has("ITEM"))
        part.lots = one_delivery(call, shelf, order, known);
    else if (!reason)
        part.lots = all_awaited(call, shelf, order, known);
    else
        call.goes("the order is closed, and nothing is received",
                  fmt::format("name what came: lotwort receive --order {} ITEM AMOUNT --no-more REASON",
                              shell_word(order.code)));
    for (Lot& lot : part.lots) lot.supplier = order.supplier;
    doubt_certificates(call, part.lots);
    doubt_prices(call, part.lots);
    report::ReceivedNote received;
    received.says = differences(order, known, part.lots, call.ledger().currency());
    for (const Lot& lot : part.lots) order.received.push_back(lot.code);
    const std::string came = named(part.lots);
    if (std::string silo = fill_silo(call, shelf, part); !silo.empty()) received.says.push_back(std::move(silo));
    part.orders.push_back(order);
    const auto what = part.lots.empty() ? fmt::format("closed order {}: {}", code, *reason)
                                        : fmt::format("received {} of order {}", came, code);
    const auto entry = call.book(part, part.lots.empty() ? EntryKind::order : EntryKind::receive, what);
    received.part = part;
    received.booked = {entry, call.dry_run(), part.lots.empty() ? "lotwort buy" : "lotwort stock --lots"};
    return {call.json() ? report::receive_note_json(received) : report::receive_note_text(received)};
}

} // namespace lotwort::verbs
