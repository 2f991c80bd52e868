// history: entries of the ledger, newest first.
#include "shared.hpp"
#include "table.hpp"
#include <fmt/format.h>
#include <lotwort/report/history.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"ENTRY", "the number of one entry, shown whole", true},
};

constexpr Option options[] = {
    {"last", "N", "only the N newest"},
    {"item", "ITEM", "only what touches this item"},
    {"lot", "LOT", "only what touches this lot"},
    {"brew", "BREW", "only what touches this brew"},
    {"kind", "KIND", "only this kind of entry: receive, count, brew, ..."},
    {"from", "DATE", "only what is about this day or later"},
    {"to", "DATE", "only what is about this day or earlier"},
};

HistoryFilter parse(Call& call) {
    HistoryFilter filter;
    filter.last = read_option(
        call, "last", [](const std::string& text) { return parse_whole(text, "number of entries", 1, 1'000'000'000); });
    if (const auto text = call.args.text("item")) {
        const Book book = call.ledger().definitions();
        filter.item = known_item(book, *text).name;
    }
    if (const auto text = call.args.text("lot")) filter.lot = known_lot(call.ledger(), *text).lot.code;
    if (const auto text = call.args.text("brew")) filter.brew = known_brew(call.ledger(), *text).code;
    filter.kind = read_option(call, "kind",
                              [](const std::string& text) { return parse_word<EntryKind>(text, "a kind of entry"); });
    filter.from = call.date("from");
    filter.to = call.date("to");
    if (filter.from && filter.to && *filter.to < *filter.from)
        throw Error(ErrorKind::refused, fmt::format("{} comes before {}", to_iso(*filter.to), to_iso(*filter.from)),
                    "put the earlier day behind --from");
    return filter;
}

Entry known_entry(Call& call, const std::string& text) {
    for (const auto& option : options)
        if (call.args.has(option.name))
            throw Error(ErrorKind::usage,
                        fmt::format("entry {} is one entry: --{} chooses among many", text, option.name),
                        "write the number alone");
    const auto number = parse_whole(text, "number of an entry", 1, 1'000'000'000);
    if (auto entry = call.ledger().entry(number)) return *std::move(entry);
    throw Error(ErrorKind::refused, fmt::format("there is no entry {}", number), "lotwort history lists them");
}

Answer run(Call& call) {
    if (const auto number = call.args.text("ENTRY")) {
        const Entry entry = known_entry(call, *number);
        if (call.csv()) return {report::history_csv({entry})};
        return {call.json() ? report::history_json({entry}) : report::entry_text(entry)};
    }
    const HistoryFilter filter = parse(call);
    const auto entries = call.ledger().history(filter);
    if (call.csv()) return {report::history_csv(entries)};
    return {call.json() ? report::history_json(entries) : report::history_text(entries)};
}

} // namespace

constinit const Command history_command{
    .name = "history",
    .group = Group::look_back,
    .summary = "entries of the ledger, newest first",
    .ledger = LedgerUse::reads,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
