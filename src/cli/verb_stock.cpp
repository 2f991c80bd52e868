// stock: what there is.
#include "shared.hpp"
#include "stock_list.hpp"
#include "verbs.hpp"

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"ITEM", "only this item", true},
};

constexpr Option options[] = {
    {"lots", "", "a line for each lot"},
    {"all", "", "lots with nothing left too"},
};

StockChoice parse(Call& call) {
    StockChoice choice{call.args.has("lots"), call.args.has("all"), std::nullopt};
    if (const auto name = call.args.text("ITEM")) choice.item = known_item(call.ledger().definitions(), *name).name;
    return choice;
}

Answer run(Call& call) {
    const StockChoice choice = parse(call);
    Ledger& ledger = call.ledger();
    const auto list = stock_list(ledger.stock(), choice, call.surroundings.today, ledger.currency());
    if (call.csv()) return {report::stock_csv(list)};
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

} // namespace lotwort::cli
