// order: what is on order; booked by hand, altered, closed.
#include "table.hpp"
#include "trade.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/core/typed.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/report/order_letter.hpp>
#include <lotwort/report/text.hpp>
#include <set>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"ACTION", "add, change, close, show or list", true},
    {"CODE", "of the order; behind add the supplier", true},
};

constexpr Option options[] = {
    {"line", "ITEM=NxPACK@COST", "what is ordered, and what all of it costs: \"pale ale malt=4x25kg@120\"", true},
    {"drop", "ITEM", "change: take this item off the order", true},
    {"arrives", "DATE", "the day it is due"},
    {"freight", "MONEY", "what the delivery of all lines costs, beside them; 0 for none"},
    {"discount", "MONEY", "what is taken off their cost in all; 0 for none"},
    {"share", "HOW", "by what freight is shared over the lines: value, or mass; value unless given"},
    {"placed", "DATE", "the day it is placed; today unless given"},
    {"reason", "TEXT", "close: why nothing more will come"},
    {"list", "", "as plain text, to send to the supplier: one order, or all that are open"},
    {"prices", "", "with --list: what it costs, too"},
    {"all", "", "list: orders that are closed, or of which all has come, too"},
};

constexpr std::string_view form = "write it as --line \"pale ale malt=4x25kg@120\": four packs of 25 kg for 120 in all";

// "pale ale malt=4x25kg@120"
OrderLine parse_line(Call& call, const std::string& text) {
    const auto equals = text.rfind('='), at = text.rfind('@');
    if (equals == std::string::npos || at == std::string::npos || at < equals)
        throw Error(ErrorKind::refused, fmt::format("`{}` is no line of an order", text), std::string(form));
    const std::string packs = text.substr(equals + 1, at - equals - 1);
    const auto times = packs.find('x');
    if (times == std::string::npos)
        throw Error(ErrorKind::refused, fmt::format("`{}` does not say how many packs", packs), std::string(form));
    OrderLine line;
    line.item = parse_name(text.substr(0, equals), "item");
    set_pack(line, packs.substr(times + 1), std::string(form));
    line.packs = static_cast<int>(parse_whole(packs.substr(0, times), "number of packs", 1, 1'000'000));
    line.cost = parse_money(call, text.substr(at + 1));
    return line;
}

struct Change {
    Order order;
    Book part;
    std::string what;
    std::vector<std::string> says;
};

// Lines as typed, their items as the ledger names them; an item that nobody knows yet is kept.
std::vector<OrderLine> parse_lines(Call& call, const Book& book, Change& change) {
    std::vector<OrderLine> lines =
        read_each(call, "line", [&](const std::string& text) { return parse_line(call, text); });
    for (OrderLine& line : lines) line.item = item_or_new(call, book, line.item, change.part.items, change.says);
    return lines;
}

std::vector<std::string> codes_of(const Book& book) {
    std::vector<std::string> codes;
    for (const Order& order : book.orders) codes.push_back(order.code);
    return codes;
}

const std::string& code_for(const Call& call, std::string_view write) {
    if (!call.args.has("CODE"))
        throw Error(ErrorKind::usage, "which order?", fmt::format("write: lotwort order {}", write));
    return call.args.required("CODE");
}
const std::string& code_for(const Call&&, std::string_view) = delete;

void parse_days_of(Call& call, Order& order) {
    if (const auto placed = call.date("placed", Looks::ahead)) order.ordered = *placed;
    if (const auto arrives = call.date("arrives", Looks::ahead)) order.arrives = *arrives;
    if (order.arrives && *order.arrives < order.ordered)
        throw Error(ErrorKind::refused,
                    fmt::format("{} would be due on {}, before it is placed on {}", order.code, to_iso(*order.arrives),
                                to_iso(order.ordered)),
                    "look at --arrives and --placed");
}

// What the goods cost in the house: each line with its part of freight and discount.
void parse_freight(Call& call, Order& order) {
    const auto lay = [&](std::string_view option, std::optional<Money>& into) {
        const auto money = read_option(call, option, [&](const std::string& text) { return parse_money(call, text); });
        if (money) into = money->minor == 0 ? std::nullopt : money;
    };
    lay("freight", order.freight);
    lay("discount", order.discount);
    if (const auto how = read_option(
            call, "share", [](const std::string& text) { return parse_word<SharedBy>(text, "way to share freight"); }))
        order.shared_by = how;
    if (!order.freight && !order.freight_after) {
        if (call.args.has("share"))
            throw Error(ErrorKind::usage, fmt::format("{} has no freight to share", order.code), "add --freight MONEY");
        order.shared_by.reset();
    }
    (void)landed_costs(order);
}

Change added(Call& call, const Book& book) {
    Change change;
    Order& order = change.order;
    order.supplier = supplier_name(book, code_for(call, "add SUPPLIER --line ITEM=NxPACK@COST"));
    if (!is_supplier(book, order.supplier)) { // a name is enough of a supplier
        Supplier supplier;
        supplier.name = order.supplier;
        change.part.suppliers.push_back(supplier);
    }
    order.code = next_code("O", codes_of(book));
    order.ordered = call.surroundings.today;
    parse_days_of(call, order);
    order.lines = parse_lines(call, book, change);
    if (order.lines.empty()) throw Error(ErrorKind::usage, "an order of nothing", std::string(form));
    parse_freight(call, order);
    change.what = fmt::format("ordered {} from {}", order.code, order.supplier);
    return change;
}

// What has come of a line stays ordered.
void demand_nothing_came(const Order& order, const std::string& item, const std::vector<LotState>& lots) {
    for (const OrderRest& rest : rest_of(order, lots))
        if (order.lines[rest.line].item == item && rest.received.units > 0)
            throw Error(
                ErrorKind::refused,
                fmt::format("{} of {} have come of {} already", to_text(rest.received), item, order.code),
                fmt::format("the rest is given up by: lotwort order close {} --reason TEXT", shell_word(order.code)));
}

std::optional<Lot> lot_in(const std::vector<LotState>& lots, const std::string& code) {
    const auto found = std::ranges::find(lots, code, [](const LotState& state) { return state.lot.code; });
    return found == lots.end() ? std::nullopt : std::optional(found->lot);
}

// The brews that used a lot, or what was made of it, in the order of their codes.
std::set<std::string> brews_of(Call& call, const std::vector<LotState>& lots, const std::string& code) {
    std::set<std::string> brews;
    for (const Movement& m : call.ledger().movements(code))
        if (m.brew) brews.insert(*m.brew);
    for (const LotState& state : lots)
        if (std::ranges::find(state.lot.made_from, code, &Portion::lot) != state.lot.made_from.end())
            brews.merge(brews_of(call, lots, state.lot.code));
    return brews;
}

// Lots that came keep their price, and months that were closed their figures: the carrier's bill that comes after them
// is borne beside it, by the brews that use them.
void bill_freight(Call& call, const Order& before, Change& change, const std::vector<LotState>& lots) {
    Order& order = change.order;
    const bool is_billed = call.args.has("freight");
    if (!is_billed && before.discount == order.discount && before.shared_by == order.shared_by) return;
    const auto rests = rest_of(before, lots);
    const auto came = std::ranges::find_if(rests, [](const OrderRest& rest) { return rest.received.units > 0; });
    if (came == rests.end()) return;
    const Money stated = before.freight.value_or(Money{}), billed = order.freight.value_or(Money{});
    const bool share_is_priced = before.freight && before.shared_by != order.shared_by;
    if (before.discount != order.discount || share_is_priced || billed.minor < stated.minor)
        throw Error(ErrorKind::refused,
                    fmt::format("{} of {} have come of {} already, at the price agreed", to_text(came->received),
                                before.lines[came->line].item, before.code),
                    "freight beyond it can be booked; for less, take the lots back: lotwort history");
    if (is_billed) {
        order.freight_after = std::nullopt;
        if (billed.minor > stated.minor) order.freight_after = Money{billed.minor - stated.minor};
    }
    order.freight = before.freight;
    std::vector<std::string> parts;
    std::set<std::string> brews;
    for (const auto& [code, part] :
         freight_billed_after(order, [&](const std::string& lot) { return lot_in(lots, lot); })) {
        parts.push_back(fmt::format("{} {}", code, report::money_text(part)));
        brews.merge(brews_of(call, lots, code));
    }
    if (parts.empty()) return;
    change.says.push_back(fmt::format("{} of freight beside the price of what came: {}",
                                      report::money_text(*order.freight_after), fmt::join(parts, ", ")));
    change.says.push_back(brews.empty() ? "no brew has used of it yet; those that do will bear their part"
                                        : fmt::format("borne by what used of it: {}", fmt::join(brews, ", ")));
    change.says.push_back("stock and statements stay as they are, at the price the lots came for");
}

Change changed(Call& call, const Book& book, const std::vector<LotState>& lots) {
    Change change;
    const Order before = known_order(book, code_for(call, "change O1 --arrives DATE"));
    change.order = before;
    Order& order = change.order;
    const bool is_bill = call.args.has("freight") && !call.args.has("line") && !call.args.has("drop") &&
                         !call.args.has("arrives") && !call.args.has("placed");
    if (order.closed && !is_bill) // the carrier's bill comes when it comes
        throw Error(ErrorKind::refused, fmt::format("order {} is closed: {}", order.code, *order.closed),
                    "book a new one: lotwort order add " + shell_word(order.supplier));
    parse_days_of(call, order);
    for (const std::string& typed : call.args.all("drop")) {
        const std::string item = known_item(book, typed).name;
        demand_nothing_came(before, item, lots);
        if (std::erase_if(order.lines, [&](const OrderLine& line) { return line.item == item; }) == 0)
            throw Error(ErrorKind::refused, fmt::format("order {} has no {}", order.code, item),
                        "lotwort order show " + shell_word(order.code));
    }
    for (const OrderLine& line : parse_lines(call, book, change)) {
        const auto known = std::ranges::find(order.lines, line.item, &OrderLine::item);
        if (known == order.lines.end()) {
            order.lines.push_back(line);
            continue;
        }
        if (*known != line) demand_nothing_came(before, line.item, lots);
        *known = line;
    }
    if (order.lines.empty())
        throw Error(ErrorKind::refused, fmt::format("nothing would be left of order {}", order.code),
                    fmt::format("close it: lotwort order close {} --reason TEXT", shell_word(order.code)));
    parse_freight(call, order);
    bill_freight(call, before, change, lots);
    if (order == before)
        refuse_no_change(call, "order " + order.code, "say what: --line, --drop, --arrives, --freight or --placed");
    change.what = fmt::format("changed order {}", order.code);
    return change;
}

Change closed(Call& call, const Book& book, const std::vector<LotState>& lots) {
    Change change;
    change.order = known_order(book, code_for(call, "close O1 --reason TEXT"));
    if (!is_open(change.order, lots))
        throw Error(ErrorKind::refused,
                    change.order.closed ? fmt::format("order {} is closed: {}", change.order.code, *change.order.closed)
                                        : fmt::format("all of order {} has come", change.order.code),
                    "lotwort order lists what is open");
    const auto reason = call.args.text("reason");
    if (!reason) throw Error(ErrorKind::usage, "why will nothing more come?", "add --reason TEXT: \"sold out\"");
    change.order.closed = parse_name(*reason, "reason");
    change.what = fmt::format("closed order {}: {}", change.order.code, *change.order.closed);
    return change;
}

report::ShownOrder shown_of(const Order& order, const std::vector<LotState>& lots) {
    return {order, rest_of(order, lots), is_open(order, lots)};
}

Answer shown(const Call& call, const report::OrderList& list, bool csv) {
    if (call.json()) return {report::order_json(list)};
    return {csv ? report::order_csv(list) : report::order_text(list)};
}

// What is asked of each supplier, and when; without a price unless it is wished.
Answer letters(Call& call, const report::OrderList& list) {
    call.goes("the list is plain text for the supplier", "leave --list out, or what it does not show");
    if (call.json())
        throw Error(ErrorKind::usage, "--list is plain text for the supplier, and no JSON",
                    "leave one of them out; --json has the orders too");
    std::string text;
    for (const report::ShownOrder& shown : list.orders) {
        const report::OrderLetter letter{shown, list.currency, shown.order.freight, call.args.has("prices")};
        text += (text.empty() ? "" : "\n") + report::order_letter_text(letter);
    }
    return {text.empty() ? "nothing is on order; lotwort buy says what to order\n" : text};
}

Answer listed(Call& call, const Book& book, const std::vector<LotState>& lots, const std::optional<std::string>& code) {
    call.only_reads();
    call.goes(code ? "the order is shown" : "orders are listed",
              "lotwort order add SUPPLIER books one, lotwort order change CODE alters it");
    report::OrderList list{{}, call.ledger().currency(), call.surroundings.today, false};
    const bool is_sent = call.args.has("list");
    if (!is_sent && call.args.has("prices"))
        throw Error(ErrorKind::usage, "--prices is for the list that is sent", "add --list");
    const bool all = !code && !is_sent && call.args.has("all");
    list.whole = code || all;
    if (code)
        list.orders.push_back(shown_of(known_order(book, *code), lots));
    else
        for (const Order& order : book.orders)
            if (all || is_open(order, lots)) list.orders.push_back(shown_of(order, lots));
    return is_sent ? letters(call, list) : shown(call, list, call.csv());
}

// Plans that had what they need by an order as it was, and lack it by the order as it is to be.
void tell_lacks(Change& change, const Book& book, const std::vector<LotState>& lots, Date today) {
    Book then = book;
    const auto known = std::ranges::find(then.orders, change.order.code, &Order::code);
    if (known == then.orders.end()) return; // what is ordered anew takes nothing away
    *known = change.order;
    const auto before = lacks_of(book, lots, today);
    for (const report::PlanLack& lack : lacks_of(then, lots, today)) {
        const auto was = std::ranges::find_if(
            before, [&](const report::PlanLack& b) { return b.plan == lack.plan && b.item == lack.item; });
        const std::int64_t lacked = was == before.end() ? 0 : was->missing.units;
        if (lack.missing.units > lacked)
            change.says.push_back(fmt::format("{} on {} lacks {} of {} then", lack.plan, to_iso(lack.date),
                                              to_text(lack.missing), lack.item));
    }
}

Answer run(Call& call) {
    const std::string action = call.args.text("ACTION").value_or("list");
    const bool reads = action != "add" && action != "change" && action != "close";
    if (reads) call.only_reads();
    const Book book = call.ledger().definitions();
    const auto lots = call.ledger().lots();
    if (action == "list") return listed(call, book, lots, std::nullopt);
    if (action == "show") return listed(call, book, lots, code_for(call, "show O1"));
    if (reads && !call.args.has("CODE") && find_name(codes_of(book), action)) return listed(call, book, lots, action);
    if (reads)
        throw Error(
            ErrorKind::usage, fmt::format("`{}` is not something to do with an order", action),
            "write: lotwort order add SUPPLIER --line ITEM=NxPACK@COST, change CODE, close CODE, show CODE or list");
    call.goes(fmt::format("it is not for order {}", action), "lotwort order --help says what goes with it");
    const bool csv = call.csv();
    Change change = action == "add"      ? added(call, book)
                    : action == "change" ? changed(call, book, lots)
                                         : closed(call, book, lots);
    tell_lacks(change, book, lots, call.surroundings.today);
    change.part.orders.push_back(change.order);
    const auto entry = call.book(change.part, EntryKind::order, change.what);
    const report::Booked booked{entry, call.dry_run(),
                                is_open(change.order, lots) ? "lotwort receive --order " + shell_word(change.order.code)
                                                            : "lotwort order"};
    return shown(
        call,
        {{shown_of(change.order, lots)}, call.ledger().currency(), call.surroundings.today, true, &booked, change.says},
        csv);
}

} // namespace

constinit const Command order_command{
    .name = "order",
    .group = Group::stock,
    .summary = "what is on order and overdue; book one by hand, alter, close",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
