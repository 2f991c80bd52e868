// explain: why this brew differs from its forecast.
#include "table.hpp"
#include <algorithm>
#include <iterator>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/infer/explain.hpp>
#include <lotwort/report/explain.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"BREW", "its code: B1"},
};

constexpr Option options[] = {
    {"full", "", "each part with the interval that holds it nine times in ten"},
};

// What was known before: the brews until the day, all lots of this brew and of its plan among those asked about.
Learned known_before(Call& call, const Book& book, const Brew& brew, const LotBook& lots) {
    LearnScope scope;
    scope.brewhouse = brew.brewhouse;
    scope.until = brew.date;
    scope.without_brew = brew.code;
    LearnRequest request = learn_request(call.desk(), book, scope);
    request.lots_on_hand.clear();
    for (const auto& [code, used] : lots) request.lots_on_hand.push_back(used);
    return learn(request).next;
}

std::optional<Plan> plan_of(Call& call, const Brew& brew) {
    if (!brew.plan) return std::nullopt;
    const auto plans = call.ledger().plans();
    const auto plan = std::ranges::find(plans, *brew.plan, &Plan::code);
    return plan == plans.end() ? std::nullopt : std::optional(*plan);
}

// None where the recipe or a lot is no longer what the plan names.
std::optional<Forecast> foretold(const Plan& plan, const Book& book, const std::vector<LotState>& lots,
                                 const std::optional<Learned>& learned) {
    try {
        return plan_as_made(plan, book, lots, learned).forecast;
    } catch (const Error&) {
        return std::nullopt;
    }
}

ReconcileInput input_of(Call& call, const Brew& brew, const Book& book) {
    const std::vector<Brew> brews = call.ledger().brews_of_fermenter(brew.code);
    LotBook lots;
    for (const Brew& tied : brews) lots.merge(lots_of(call.ledger(), tied, book));
    return tied_input(brew, Fermenters(brews), book, lots);
}

Answer run(Call& call) {
    const Book book = call.ledger().definitions();
    const Brew brew = known_brew(call.ledger(), call.args.required("BREW"));
    ExplainRequest request;
    request.brew = input_of(call, brew, book);
    request.plan = plan_of(call, brew);
    const std::vector<LotState> lots = call.ledger().lots();
    if (request.plan) {
        std::vector<LotState> reserved;
        std::ranges::copy_if(lots, std::back_inserter(reserved), [&](const LotState& state) {
            return std::ranges::find(request.plan->reserved, state.lot.code, &Reservation::lot) !=
                   request.plan->reserved.end();
        });
        request.brew.lots.merge(lot_book(reserved, book));
    }
    const Learned learned = known_before(call, book, brew, request.brew.lots);
    if (learned.brews > 0) request.learned = learned;
    if (request.plan) request.forecast = foretold(*request.plan, book, lots, request.learned);
    Explanation answer = explain(request);
    answer.remarks.insert(answer.remarks.end(), learned.remarks.begin(), learned.remarks.end());
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
