// explain: why this brew differs from its forecast.
#include "table.hpp"
#include <lotwort/desk/explained.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/report/explain.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"BREW", "its code: B1"},
};

constexpr Option options[] = {
    {"full", "", "each part with the interval that holds it nine times in ten"},
};

Answer run(Call& call) {
    const Book book = call.ledger().definitions();
    const Brew brew = known_brew(call.ledger(), call.args.required("BREW"));
    const Explanation answer = explained(call.desk(), book, brew);
    call.goes("the figures are whole", "leave it out");
    if (call.json()) return {report::explain_json(answer)};
    if (call.csv()) return {report::explain_csv(answer)};
    return {report::explain_text(answer, call.args.has("full"))};
}

} // namespace

constinit const Command explain_command{
    .name = "explain",
    .group = Group::brew,
    .summary = "why this brew differs from its forecast",
    .ledger = LedgerUse::reads,
    .positionals = positionals,
    .options = options,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
