// reverse: take an entry back by an equal and opposite one.
#include "shared.hpp"
#include "verbs.hpp"
#include <fmt/format.h>
#include <limits>
#include <lotwort/report/booked.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"ENTRY", "the entry's number, as lotwort history shows it"},
};

Entry parse(Call& call) {
    const std::string& typed = call.args.required("ENTRY");
    const auto number = parse_whole(typed, "number of an entry", 1, std::numeric_limits<std::int64_t>::max());
    if (auto entry = call.ledger().entry(number)) return *std::move(entry);
    HistoryFilter newest;
    newest.last = 1;
    const auto last = call.ledger().history(newest);
    throw Error(ErrorKind::refused, fmt::format("there is no entry {}", number),
                last.empty() ? "lotwort history lists what there is"
                             : fmt::format("the newest is {}; lotwort history lists them", last.front().number));
}

Answer run(Call& call) {
    const Entry back = parse(call);
    const EntryHead head =
        call.head(EntryKind::reverse, fmt::format("took back entry {} ({})", back.number, back.head.what));
    Ledger& ledger = call.ledger();
    const Entry entry = call.dry_run() ? ledger.rehearse_reverse(back.number, head) : ledger.reverse(back.number, head);
    const report::Booked booked{entry, call.dry_run(), "lotwort history --last 5"};
    return {call.json() ? report::booked_json(booked, "lotwort/reverse/1") : report::booked_line(booked)};
}

} // namespace

constinit const Command reverse_command{
    .name = "reverse",
    .group = Group::look_back,
    .summary = "take an entry back by an equal and opposite one",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .run = run,
};

} // namespace lotwort::cli
