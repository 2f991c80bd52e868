// reverse: take an entry back by an equal and opposite one.
#include "shared.hpp"
#include "table.hpp"
#include <charconv>
#include <fmt/format.h>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/report/booked.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"ENTRY", "the entry's number, as lotwort history shows it"},
};

Entry parse(Call& call) {
    const std::string& typed = call.args.required("ENTRY");
    std::int64_t number = 0;
    const auto [end, fault] = std::from_chars(typed.data(), typed.data() + typed.size(), number);
    if (fault != std::errc() || end != typed.data() + typed.size() || number < 1)
        throw Error(ErrorKind::refused, fmt::format("`{}` is not the number of an entry", typed),
                    "write a whole number, such as 6; lotwort history lists them");
    if (auto entry = call.ledger().entry(number)) return *std::move(entry);
    HistoryFilter newest;
    newest.last = 1;
    const auto last = call.ledger().history(newest);
    throw Error(ErrorKind::refused, fmt::format("there is no entry {}", number),
                last.empty() ? "lotwort history lists what there is"
                             : fmt::format("the newest is {}; lotwort history lists them", last.front().number));
}

bool states_something(EntryKind kind) {
    switch (kind) {
    case EntryKind::item:
    case EntryKind::instrument:
    case EntryKind::brewhouse:
    case EntryKind::recipe:
    case EntryKind::offer:
    case EntryKind::order:
    case EntryKind::plan:
        return true;
    default:
        return false;
    }
}

Answer run(Call& call) {
    const Entry back = parse(call);
    Ledger& ledger = call.ledger();
    const auto lost = promises_lost(call.desk(), ledger.opposite_of(back.number));
    const bool looks = states_something(back.head.kind) && !call.dry_run() && !call.json();
    const Book before = looks ? ledger.definitions() : Book{};
    const Entry entry =
        call.take_back(back.number, fmt::format("took back entry {} ({})", back.number, back.head.what));
    const report::Booked booked{entry, call.dry_run(), "lotwort history --last 5", lost};
    if (call.json()) return {report::booked_json(booked)};
    const std::string remark = looks && before == ledger.definitions()
                                   ? "nothing in use has changed: a later entry states it anew, and that one holds\n"
                                   : "";
    return {report::booked_line(booked) + remark};
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

} // namespace lotwort::verbs
