// backup: copy the ledger while it is in use.
#include "table.hpp"
#include <lotwort/report/keep.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"PATH", "where the copy goes"},
};

constexpr Option options[] = {
    {"replace", "", "put the copy in the place of an earlier backup of that name"},
};

Answer run(Call& call) {
    const report::BackedUp done{call.ledger_path(), call.args.required("PATH")};
    const bool json = call.json();
    const auto replace = call.args.has("replace") ? Ledger::Replace::yes : Ledger::Replace::no;
    call.demand_all_used();
    call.ledger().backup(done.copy, replace);
    return {json ? report::backup_json(done) : report::backup_text(done)};
}

} // namespace

constinit const Command backup_command{
    .name = "backup",
    .group = Group::keep,
    .summary = "copy the ledger while it is in use",
    .ledger = LedgerUse::reads,
    .positionals = positionals,
    .options = options,
    .has_units = false,
    .run = run,
};

} // namespace lotwort::verbs
