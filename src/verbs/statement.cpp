// statement: the books of a month, of stock and of beer.
#include "shared.hpp"
#include "table.hpp"
#include <fmt/format.h>
#include <lotwort/desk/calendar.hpp>
#include <lotwort/desk/statement.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"MONTH", "2026-10; the last that is over, or this one where nothing was there before it", true},
};

constexpr Option options[] = {
    {"from", "DATE", "the first day"},
    {"to", "DATE", "the last day; today unless given"},
    {"month", "MONTH", "a month: 2026-10; this one unless said", false, this_month},
    {"full", "", "item by item"},
    {"journal", "", "as a double-entry journal in plain text"},
};

// The days that are asked for; none: nothing was said.
std::optional<Period> parse(const Call& call) {
    const Date today = call.surroundings.today;
    const auto from = call.date("from"), to = call.date("to");
    const auto word = call.args.text("MONTH");
    if (word && call.args.has("month"))
        throw Error(ErrorKind::usage, fmt::format("--month says the month, and `{}` does, too", *word),
                    "leave out --month");
    if (word || call.args.has("month")) {
        if (from || to)
            throw Error(ErrorKind::usage,
                        fmt::format("{} says the first and the last day", word ? "a month" : "--month"),
                        "leave out --from and --to");
        return word ? month_of(*word, today)
                    : read_option(call, "month", [&](const std::string& text) { return month_of(text, today); });
    }
    if (to && !from)
        throw Error(ErrorKind::usage, "--to needs the first day too", "write --from DATE, or a month alone: 2026-10");
    if (!from) return std::nullopt;
    return Period{*from, to.value_or(today)};
}

Answer run(Call& call) {
    const auto period = parse(call);
    const report::Statement statement =
        period ? statement_of(call.desk(), period->from, period->to) : last_statement(call.desk());
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
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
