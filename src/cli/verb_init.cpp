// init: make a ledger.
#include "verbs.hpp"
#include <algorithm>
#include <lotwort/core/error.hpp>
#include <lotwort/report/init.hpp>

namespace lotwort::cli {

namespace {

constexpr Option options[] = {
    {"currency", "CODE", "the one currency of all prices, three letters (ISO 4217); EUR unless given"},
};

std::string parse(const Call& call) {
    const std::string code = call.args.text("currency").value_or("EUR");
    const bool letters = std::all_of(code.begin(), code.end(), [](char c) { return c >= 'A' && c <= 'Z'; });
    if (code.size() != 3 || !letters)
        throw Error(ErrorKind::refused, "`" + code + "` is no currency code",
                    "write the three capital letters of ISO 4217, such as EUR or GBP");
    return code;
}

Answer run(Call& call) {
    const std::string currency = parse(call);
    const std::string path = call.ledger_path();
    if (!call.dry_run()) Ledger::create(path, currency, call.head(EntryKind::init, "made the ledger in " + currency));
    const report::MadeLedger made{path, currency, !call.args.has("currency"), call.dry_run()};
    return {call.json() ? report::init_json(made) : report::init_text(made)};
}

} // namespace

constinit const Command init_command{
    .name = "init",
    .group = Group::set_up,
    .summary = "make a ledger",
    .ledger = LedgerUse::creates,
    .positionals = {},
    .options = options,
    .run = run,
};

} // namespace lotwort::cli
