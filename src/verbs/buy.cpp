// buy: what to order, from whom, by when.
#include "shared.hpp"
#include "table.hpp"
#include "trade.hpp"
#include <algorithm>
#include <chrono>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/later_use.hpp>
#include <lotwort/desk/purchase_wish.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/report/buy.hpp>
#include <lotwort/report/search.hpp>

namespace lotwort::verbs {

namespace {

constexpr Option options[] = {
    {"horizon", "DAYS", "look so far ahead: 60days; all planned brews unless given"},
    {"service", "PERCENT", "how often stock is to suffice: 95% unless given"},
    {"holding", "PERCENT", "what keeping stock costs a year, of its price: 0% unless given"},
    {"buffer", "DAYS", "what is bought is to come so long before its use: 1day unless given"},
    {"budget", "MONEY", "the most that all orders may cost"},
    {"allow-substitutes", "", "let other malts and hops serve where that is cheaper than buying"},
    {"pack-changes", "", "what a pack more or less of each would cost"},
    {"without", "OFFER", "nothing of that supplier, item, or SUPPLIER/ITEM/PACK", true},
    {"instead", "OFFER", "its item of that supplier alone: SUPPLIER/ITEM, SUPPLIER/ITEM/PACK", true},
    {"full", "", "what it costs and each brew's share too, all lines"},
    {"limit", "TIME", "end the search after so long, with what it has: 10s unless given"},
    {"until", "DATE", "with --order and --list: only what must be ordered by that day"},
    {"order", "", "book the orders as open, in one entry"},
    {"list", "", "the orders as plain text, to send to the suppliers"},
    {"prices", "", "with --list: what it costs, too"},
    {"model", "FILE", "write the model for other solvers, as MPS"},
    {"force", "", "let --model replace a file that is there"},
};

// A service level lies between half and all but one in ten thousand.
double parse_service(const std::string& text) {
    return parse_percent(text, {50.0, 99.99}).value() / 100.0;
}

double parse_seconds(const std::string& text) {
    const std::string number = text.ends_with("min") ? text.substr(0, text.size() - 3)
                               : text.ends_with("s") ? text.substr(0, text.size() - 1)
                                                     : "";
    if (number.empty())
        throw Error(ErrorKind::refused, fmt::format("`{}` is no time", text),
                    "write seconds or minutes, such as 30s or 2min");
    return parse_number(number, "time", {0.01, 86400.0}) * (text.ends_with("min") ? 60.0 : 1.0);
}

std::string without_spaces(std::string text) {
    std::erase(text, ' ');
    return text;
}

// The parts of `Hillside/pale ale malt/25kg` that name an offer.
bool is_named(const Offer& offer, const std::string& typed) {
    const std::string pack = pack_of(offer) ? without_spaces(to_text(*pack_of(offer))) : "";
    const std::string supplier = lowered(offer.supplier), item = lowered(offer.item), asked = lowered(typed);
    return asked == supplier || asked == item || asked == supplier + "/" + item ||
           without_spaces(asked) == without_spaces(supplier + "/" + item + "/" + lowered(pack));
}

[[noreturn]] void refuse_offer(const std::string& typed) {
    throw Error(ErrorKind::refused, fmt::format("no offer is `{}`", typed),
                "write a supplier, an item, or SUPPLIER/ITEM or SUPPLIER/ITEM/PACK, as lotwort offer list has them");
}

// --without: these offers are left out; --instead: of what these are of, all others are.
void leave_out(const Call& call, std::vector<Offer>& offers) {
    const auto word = [](const std::string& typed) { return typed; };
    for (const std::string& typed : read_each(call, "without", word))
        if (std::erase_if(offers, [&](const Offer& offer) { return is_named(offer, typed); }) == 0) refuse_offer(typed);
    for (const std::string& typed : read_each(call, "instead", word)) {
        std::set<std::string> items;
        for (const Offer& offer : offers)
            if (is_named(offer, typed)) items.insert(offer.item);
        if (items.empty()) refuse_offer(typed);
        std::erase_if(offers,
                      [&](const Offer& offer) { return items.contains(offer.item) && !is_named(offer, typed); });
    }
}

// What the plan is to keep to, as it was typed: of plans that do not, nothing is said.
std::string asked_of(const Call& call) {
    const auto word = [](const std::string& typed) { return typed; };
    std::vector<std::string> parts;
    if (const auto out = read_each(call, "without", word); !out.empty())
        parts.push_back(fmt::format("without {}", fmt::join(out, " and ")));
    if (const auto in = read_each(call, "instead", word); !in.empty())
        parts.push_back(fmt::format("with {} instead", fmt::join(in, " and ")));
    if (call.args.has("budget")) parts.emplace_back("within the budget");
    return fmt::format("{}", fmt::join(parts, ", "));
}

plan::PurchaseWish parse(Call& call, const Book& book) {
    plan::PurchaseWish wish = purchase_wish(call.desk(), book);
    leave_out(call, wish.offers);
    wish.service = read_option(call, "service", parse_service).value_or(wish.service);
    if (const auto percent = read_option(call, "holding", [](const std::string& t) {
            return parse_percent(t, {0.0, 1000.0});
        }))
        wish.holding_pct_per_year = percent->value();
    const auto days = [](double most) { return [most](const std::string& t) { return parse_days(t, {0.0, most}); }; };
    wish.horizon_days = read_option(call, "horizon", days(3650.0));
    if (wish.horizon_days) foresee_use(call.desk(), wish);
    wish.buffer_days = read_option(call, "buffer", days(60.0)).value_or(wish.buffer_days);
    if (const auto budget =
            read_option(call, "budget", [&](const std::string& text) { return parse_money(call, text); }))
        wish.budget = static_cast<double>(budget->minor) / 100.0;
    wish.allow_substitutes = call.args.has("allow-substitutes");
    return wish;
}

// The best so far is worth showing, and not worth booking.
Call::Search search_of(const Call& call) {
    return call.args.has("order") ? Call::Search::books : Call::Search::looks;
}

// One line on standard error, a few times a second, once the search has taken a second.
std::function<void(const plan::MipProgress&)> progress_of(const Call& call) {
    using Clock = std::chrono::steady_clock;
    if (!call.surroundings.progress) return nullptr;
    return [&call, began = Clock::now(), shown = Clock::time_point{}](const plan::MipProgress& now) mutable {
        const auto at = Clock::now();
        if (at - began < std::chrono::seconds(1) || at - shown < std::chrono::milliseconds(200)) return;
        shown = at;
        call.progress(report::search_said(now) + call.said_of_ending(search_of(call)));
    };
}

plan::MipOptions limits_of(const Call& call) {
    plan::MipOptions limits;
    limits.relative_gap = 1e-5;
    limits.seconds = read_option(call, "limit", parse_seconds).value_or(10.0);
    limits.stop = call.ends_search(search_of(call));
    limits.progress = progress_of(call);
    return limits;
}

Money in_minor(double money) {
    return {std::llround(money * 100.0)};
}

// The orders as they would be booked: placed and due as planned.
std::vector<Order> as_orders(const plan::PurchaseWish& wish, const plan::DrawnPurchase& drawn,
                             const plan::PurchasePlan& found) {
    std::vector<std::string> codes;
    for (const Order& order : wish.orders) codes.push_back(order.code);
    std::vector<Order> orders;
    for (const plan::PurchaseOrderPlan& planned : found.orders) {
        Order order;
        order.code = next_code("O", codes);
        codes.push_back(order.code);
        order.supplier = planned.supplier;
        order.ordered = planned.order_by;
        order.arrives = planned.arrives;
        for (const plan::PurchaseLine& line : planned.lines) {
            const Offer& offer = wish.offers[drawn.offers[line.offer]];
            order.lines.push_back(
                {offer.item, offer.pack, offer.pack_volume, offer.pack_count, line.packs, in_minor(line.cost)});
        }
        orders.push_back(std::move(order));
    }
    return orders;
}

// With --until, only what must be ordered by then.
std::optional<Date> shown_until(const Call& call) {
    const auto until = call.date("until", Looks::ahead);
    if (until && !call.args.has("order") && !call.args.has("list"))
        throw Error(ErrorKind::usage, "--until is for what is ordered or listed", "add --order or --list");
    return until;
}

// The command that was given, with what is suggested beside or instead.
std::string again(const Call& call, const std::map<std::string_view, std::string>& suggested) {
    std::string text = "lotwort buy";
    for (const Option& option : all_options(call.command())) {
        static constexpr std::string_view changes_plan[] = {
            "horizon", "service", "holding", "buffer", "budget", "allow-substitutes",
            "without", "instead", "limit",   "until",  "ledger"};
        const auto other = suggested.find(option.name);
        const bool is_suggested = other != suggested.end();
        const bool is_kept = std::ranges::find(changes_plan, option.name) != std::end(changes_plan);
        if (!is_suggested && !(is_kept && call.args.has(option.name))) continue;
        text += fmt::format(" --{}", option.name);
        if (option.value.empty()) continue;
        if (is_suggested) {
            text += " " + shell_word(other->second);
            continue;
        }
        bool is_next = false; // of several
        for (const std::string& value : read_each(call, option.name, [](const std::string& typed) { return typed; }))
            text += fmt::format("{} {}", std::exchange(is_next, true) ? fmt::format(" --{}", option.name) : "",
                                shell_word(value));
    }
    return text;
}

// What to type next.
std::string next_of(const Call& call, const report::ShownPurchase& shown) {
    const plan::PurchasePlan& found = *shown.plan;
    const auto& beyond = shown.drawn->beyond;
    if (shown.drawn->wanted.needs.empty()) {
        if (beyond.empty()) return "";
        const auto days = (beyond.back().second - shown.wish->today).count();
        return again(call, {{"horizon", fmt::format("{}days", days)}});
    }
    if (!found.found) return again(call, {{"limit", "60s"}});
    if (!found.late.empty() && !found.late.front().for_money) {
        const plan::PurchaseLate& late = found.late.front();
        return late.earliest ? fmt::format("lotwort plan {} --move {}", shell_word(late.brew), to_iso(*late.earliest))
                             : fmt::format("lotwort offer add SUPPLIER {} PACK PRICE", shell_word(late.item));
    }
    return shown.orders.empty() ? "" : again(call, {{"order", ""}});
}

// How the answer is printed; known before anything is ordered.
enum class Form { text, list, csv };

Form form_of(Call& call) {
    if (call.args.has("list")) {
        call.goes("the list is plain text for the suppliers", "leave --list out, or what it does not show");
        if (call.json())
            throw Error(ErrorKind::usage, "--list is plain text for the suppliers, and no JSON",
                        "leave one of them out; --json has the orders too");
        return Form::list;
    }
    if (call.args.has("prices")) throw Error(ErrorKind::usage, "--prices is for the list that is sent", "add --list");
    return call.csv() ? Form::csv : Form::text;
}

// Of the whole plan, and told where the whole plan is.
bool tells_pack_changes(Call& call, Form form) {
    if (form == Form::text && !call.args.has("until")) return call.args.has("pack-changes");
    call.goes("a part of the plan is shown", "--pack-changes is of the whole plan, as text or JSON");
    return false;
}

// Text alone has more to tell.
bool tells_all(Call& call, Form form) {
    if (form == Form::text && !call.json()) return call.args.has("full");
    call.goes("it has all lines", "--full is of the text");
    return false;
}

Answer shown_as(const Call& call, const report::ShownPurchase& shown, Form form) {
    const plan::PurchasePlan& found = *shown.plan;
    const bool is_asked = !shown.drawn->wanted.needs.empty();
    const bool is_booked = shown.booked != nullptr && !shown.booked->dry_run;
    const int status = is_asked && !is_booked && (!found.found || !found.late.empty()) ? 3 : 0;
    if (form == Form::list)
        return {report::buy_list(shown, call.args.has("prices")) +
                    (shown.booked != nullptr ? "\n" + report::booked_line(*shown.booked) : ""),
                status};
    if (call.json()) return {report::buy_json(shown), status};
    return {form == Form::csv ? report::buy_csv(shown) : report::buy_text(shown), status};
}

Answer ordered(Call& call, report::ShownPurchase shown, Form form) {
    if (shown.orders.empty())
        throw Error(ErrorKind::refused, "there is nothing to order", again(call, {}) + " shows why");
    Book part;
    part.orders = shown.orders;
    std::string codes;
    for (const Order& order : shown.orders)
        codes += fmt::format("{}{} from {}", codes.empty() ? "" : ", ", order.code, order.supplier);
    const Entry entry = call.book(part, EntryKind::order, fmt::format("ordered {}", codes));
    const report::Booked booked{entry, call.dry_run(),
                                fmt::format("lotwort receive --order {}", shell_word(shown.orders.front().code))};
    shown.booked = &booked;
    return shown_as(call, shown, form);
}

// The orders that are shown, by the day to order by, as they would be booked.
void add_orders(const Call& call, report::ShownPurchase& shown) {
    shown.until = shown_until(call);
    shown.orders = as_orders(*shown.wish, *shown.drawn, *shown.plan);
    if (shown.until)
        shown.orders.resize(static_cast<std::size_t>(std::ranges::count_if(
            shown.plan->orders, [&](const plan::PurchaseOrderPlan& order) { return order.order_by <= *shown.until; })));
}

Answer write_model(Call& call, const std::string& path) {
    call.only_reads();
    call.goes("the model is written, and nothing is searched, told or ordered", "leave it out, or leave --model out");
    const plan::PurchaseWish wish = parse(call, call.ledger().definitions());
    write_file(call, path, plan::purchase_mps(plan::draw_purchase(wish).wanted));
    return {fmt::format("wrote the model to {}, minimised\n", path)};
}

Answer run(Call& call) {
    if (const auto path = call.args.text("model")) return write_model(call, *path);
    const bool orders = call.args.has("order");
    if (!orders) call.only_reads();
    demand_today(call.desk());
    const Form form = form_of(call);
    const Book book = call.ledger().definitions();
    const plan::PurchaseWish wish = parse(call, book);
    plan::DrawnPurchase drawn = plan::draw_purchase(wish);
    const plan::MipOptions limits = limits_of(call);
    plan::PurchasePlan found;
    if (!drawn.wanted.needs.empty()) found = plan::plan_purchases(drawn.wanted, limits);
    report::ShownPurchase shown;
    shown.wish = &wish;
    shown.drawn = &drawn;
    shown.plan = &found;
    shown.currency = call.ledger().currency();
    shown.asked = asked_of(call);
    shown.full = tells_all(call, form);
    shown.brews = plan::cost_by_brew(wish, drawn, found);
    shown.purposes = plan::purposes_of(drawn.wanted, found);
    shown.fills = plan::fills_of(drawn.wanted, found);
    if (tells_pack_changes(call, form)) shown.changes = plan::pack_changes(drawn.wanted, found, limits);
    call.progress("");
    for (std::string& said : lacks_in_stock(book, wish, drawn, found)) drawn.says.push_back(std::move(said));
    add_orders(call, shown);
    if (orders) return ordered(call, shown, form);
    shown.next = next_of(call, shown);
    return shown_as(call, shown, form);
}

} // namespace

constinit const Command buy_command{
    .name = "buy",
    .group = Group::stock,
    .summary = "what to order, from whom, by when, at least cost",
    .ledger = LedgerUse::writes,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
