// stock: what there is.
#include "receive/order_receipt.hpp"
#include "shared.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/ageing_list.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/desk/stock_list.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"ITEM", "only this item", true},
};

constexpr Option options[] = {
    {"lots", "", "a line for each lot"},
    {"all", "", "lots with nothing left too"},
    {"on", "DATE", "as it was at the end of that day (YYYY-MM-DD, today, yesterday)"},
    {"ageing", "", "what spoils or loses its bitterness first, and what that costs"},
};

StockChoice parse(Call& call) {
    StockChoice choice{call.args.has("lots"), call.args.has("all"), std::nullopt};
    const auto name = call.args.text("ITEM");
    if (!name) return choice;
    const Book known = call.ledger().definitions();
    if (std::ranges::find(known.items, *name, &Item::name) == known.items.end() && call.ledger().lot(*name))
        throw Error(ErrorKind::refused, fmt::format("{} is a lot, not an item", *name),
                    fmt::format("lotwort lot {} shows it whole", shell_word(*name)));
    choice.item = known_item(known, *name).name;
    return choice;
}

Answer ageing(Call& call, const StockChoice& choice) {
    for (const char* option : {"lots", "all"})
        if (call.args.has(option))
            throw Error(ErrorKind::usage,
                        fmt::format("--ageing has a line for each lot on hand: --{} changes nothing", option),
                        "leave it out");
    Ledger& ledger = call.ledger();
    const Date day = day_asked(call);
    const auto list =
        ageing_list(ledger.definitions().items, lots_at(ledger, day), choice.item, day, ledger.currency());
    if (call.csv()) return {report::ageing_csv(list)};
    return {call.json() ? report::ageing_json(list) : report::ageing_text(list)};
}

Answer run(Call& call) {
    const StockChoice choice = parse(call);
    if (call.args.has("ageing")) return ageing(call, choice);
    Ledger& ledger = call.ledger();
    const Date day = day_asked(call);
    auto list = stock_list(rows_at(ledger, day), choice, day, ledger.currency());
    if (is_past(ledger, day)) { // what is due and what lacks are of today
        list.says.push_back(said_of_past(day));
        if (call.csv()) return {report::stock_csv(list)};
        return {call.json() ? report::stock_json(list) : report::stock_text(list)};
    }
    const Book book = ledger.definitions();
    if (!book.orders.empty()) list.overdue = overdue(book, ledger.lots(), call.surroundings.today);
    if (call.csv()) return {report::stock_csv(list)};
    if (!choice.item && !book.plans.empty()) list.lacks = lacks_of(book, ledger.lots(), day);
    return {call.json() ? report::stock_json(list) : report::stock_text(list)};
}

} // namespace

constinit const Command stock_command{
    .name = "stock",
    .group = Group::stock,
    .summary = "on hand, promised, free, ageing, value; by item or lot",
    .ledger = LedgerUse::reads,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
