// explain: why this brew differs from its forecast.
#include "brew_learn.hpp"
#include "verbs.hpp"
#include <algorithm>
#include <lotwort/infer/explain.hpp>
#include <lotwort/report/explain.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"BREW", "its code: B1"},
};

// What was known before: the brews until the day before, all lots of this brew among those asked about.
Learned known_before(Call& call, const Book& book, const Brew& brew, const ReconcileInput& input) {
    LearnScope scope;
    scope.brewhouse = brew.brewhouse;
    scope.until = brew.date;
    scope.without_brew = brew.code;
    LearnRequest request = learn_request(call, book, scope);
    request.lots_on_hand.clear();
    for (const auto& [code, used] : input.lots) request.lots_on_hand.push_back(used);
    return learn(request).next;
}

Answer run(Call& call) {
    const Book book = call.ledger().definitions();
    const Brew brew = known_brew(call.ledger(), call.args.required("BREW"));
    ExplainRequest request;
    request.brew = reconcile_input(brew, book, lots_of(call.ledger(), brew, book));
    if (brew.plan) {
        const auto plans = call.ledger().plans();
        const auto plan = std::ranges::find(plans, *brew.plan, &Plan::code);
        if (plan != plans.end()) request.plan = *plan;
    }
    const Learned learned = known_before(call, book, brew, request.brew);
    if (learned.brews > 0) request.learned = learned;
    const Explanation answer = explain(request);
    if (call.json()) return {report::explain_json(answer)};
    return {call.csv() ? report::explain_csv(answer) : report::explain_text(answer)};
}

} // namespace

constinit const Command explain_command{
    .name = "explain",
    .group = Group::brew,
    .summary = "why this brew differs from its forecast",
    .ledger = LedgerUse::reads,
    .positionals = positionals,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::cli
