// statement: the books of a month, of stock and of beer.
#include "shared.hpp"
#include "table.hpp"
#include <fmt/format.h>
#include <lotwort/desk/statement.hpp>

namespace lotwort::verbs {

namespace {

constexpr Option options[] = {
    {"from", "DATE", "the first day"},
    {"to", "DATE", "the last day; today unless given"},
    {"month", "MONTH", "a month: 2026-10"},
    {"full", "", "item by item"},
    {"journal", "", "as a double-entry journal in plain text"},
};

Period parse(const Call& call) {
    const Date today = call.surroundings.today;
    const auto from = call.date("from"), to = call.date("to");
    if (const auto month = call.args.text("month")) {
        if (from || to)
            throw Error(ErrorKind::usage, "--month says the first and the last day", "leave out --from and --to");
        return read_option(call, "month", [&](const std::string& text) { return month_of(text, today); }).value();
    }
    if (to && !from)
        throw Error(ErrorKind::usage, "--to needs the first day too", "write --from DATE, or --month MONTH alone");
    return from ? Period{*from, to.value_or(today)} : last_month(today);
}

Answer run(Call& call) {
    const Period period = parse(call);
    const report::Statement statement = statement_of(call.desk(), period.from, period.to);
    if (call.args.has("journal")) {
        call.goes("the journal is plain text, movement by movement");
        return {report::statement_journal(statement)};
    }
    if (call.csv()) {
        call.goes("the rows are item by item");
        return {report::statement_csv(statement)};
    }
    if (call.json()) return {report::statement_json(statement)};
    return {report::statement_text(statement, call.args.has("full"))};
}

} // namespace

constinit const Command statement_command{
    .name = "statement",
    .group = Group::look_back,
    .summary = "the books of a month: opening, received, used, lost, closing; beer",
    .ledger = LedgerUse::reads,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
