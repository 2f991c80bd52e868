#include <algorithm>
#include <iterator>
#include <lotwort/desk/explained.hpp>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/taught.hpp>
#include <memory>
#include <utility>

namespace lotwort {

namespace {

// What was known before: the brews until the day, all lots of this brew and of its plan among those asked about.
Learned known_before(const Desk& desk, const Book& book, const Brew& brew, const LotBook& lots) {
    const auto request = [&] {
        LearnScope scope;
        scope.brewhouse = brew.brewhouse;
        scope.until = brew.date;
        scope.without_brew = brew.code;
        LearnRequest before = learn_request(desk, book, scope);
        before.lots_on_hand.clear();
        for (const auto& [code, used] : lots) before.lots_on_hand.push_back(used);
        return before;
    };
    if (desk.teaching == nullptr) return learn(request()).next;
    return desk.teaching->learned<Learned>("before " + brew.code, state_of(desk), [&]() -> Taught::Question {
        const auto kept = std::make_shared<const LearnRequest>(request());
        return {basis_of(*kept), [kept]() -> std::any { return learn(*kept).next; }};
    });
}

std::optional<Plan> plan_of(const Desk& desk, const Brew& brew) {
    if (!brew.plan) return std::nullopt;
    const auto plans = desk.ledger.plans();
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

ReconcileInput input_of(const Desk& desk, const Brew& brew, const Book& book) {
    const std::vector<Brew> brews = desk.ledger.brews_of_fermenter(brew.code);
    LotBook lots;
    for (const Brew& tied : brews) lots.merge(lots_of(desk.ledger, tied, book));
    return tied_input(brew, Fermenters(brews), book, lots);
}

} // namespace

Explanation explained(const Desk& desk, const Book& book, const Brew& brew) {
    ExplainRequest request;
    std::vector<ReconcileInput> taught{input_of(desk, brew, book)}; // as reconcile has it, so that both say the same
    teach_from_others(desk, book, taught);
    request.brew = std::move(taught.front());
    request.plan = plan_of(desk, brew);
    const std::vector<LotState> lots = desk.ledger.lots();
    if (request.plan) {
        std::vector<LotState> reserved;
        std::ranges::copy_if(lots, std::back_inserter(reserved), [&](const LotState& state) {
            return std::ranges::find(request.plan->reserved, state.lot.code, &Reservation::lot) !=
                   request.plan->reserved.end();
        });
        request.brew.lots.merge(lot_book(reserved, book));
    }
    const Learned learned = known_before(desk, book, brew, request.brew.lots);
    if (learned.brews > 0) request.learned = learned;
    if (request.plan) request.forecast = foretold(*request.plan, book, lots, request.learned);
    Explanation answer = explain(request);
    answer.remarks.insert(answer.remarks.end(), learned.remarks.begin(), learned.remarks.end());
    return answer;
}

} // namespace lotwort
