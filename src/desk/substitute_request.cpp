#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/lot_values.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/substitute_request.hpp>
#include <lotwort/report/search.hpp>
#include <lotwort/stock/supplier_terms.hpp>
#include <map>

namespace lotwort {

namespace {

// What of these plans' reservations counts, and what they lack beside: of the book's open plans the earlier have
// theirs.
std::vector<plan::PlanAsItStands> plans_as_they_stand(const Book& book, const std::vector<LotState>& lots,
                                                      const std::vector<Plan>& plans) {
    std::vector<plan::PlanAsItStands> standing;
    const std::vector<Plan> kept = kept_promises(book.plans, lots);
    for (const Plan& plan : plans) {
        const auto found = std::ranges::find(kept, plan.code, &Plan::code);
        standing.push_back({found != kept.end() ? *found : plan, {}});
    }
    for (PlanLack& lack : plan_lacks(book, lots)) {
        const auto of = std::ranges::find(standing, lack.plan, [](const auto& p) { return p.kept.code; });
        if (of != standing.end()) of->lacks.push_back(std::move(lack));
    }
    return standing;
}

} // namespace

std::vector<Plan> plans_to_fill(const Desk& desk, const Book& book, const std::vector<std::string>& codes) {
    std::vector<Plan> plans;
    for (const auto& code : codes) {
        const Plan* plan = find_plan(book, code);
        if (plan == nullptr) refuse_unknown("open plan", code, plan_codes(book.plans), "lotwort plan");
        if (plan->date < desk.today)
            throw Error(ErrorKind::refused,
                        fmt::format("{} was planned for {}, which has passed", code, to_iso(plan->date)),
                        fmt::format("put it on another day first: lotwort plan {} --move DATE", shell_word(code)));
        if (std::ranges::find(plans, code, &Plan::code) != plans.end())
            throw Error(ErrorKind::usage, fmt::format("{} is named twice", code), "name each plan once");
        plans.push_back(*plan);
    }
    if (codes.empty())
        std::ranges::copy_if(book.plans, std::back_inserter(plans),
                             [&](const Plan& open) { return open.date >= desk.today; });
    std::ranges::stable_sort(plans, {}, &Plan::date);
    return plans;
}

plan::SubstituteRequest substitute_request(const Desk& desk, const Book& book, const std::vector<Plan>& plans) {
    plan::SubstituteRequest request;
    request.items = book.items;
    request.orders = book.orders;
    request.offers = book.offers;
    request.suppliers = suppliers_with_terms(book.suppliers, book.offers);
    request.currency = desk.ledger.currency();
    request.today = desk.today;
    request.lots = desk.ledger.lots();
    request.plans = plans_as_they_stand(book, request.lots, plans);
    std::vector<Plan> others;
    std::ranges::copy_if(book.plans, std::back_inserter(others), [&](const Plan& open) {
        return !open.cancelled && open.date >= desk.today &&
               std::ranges::find(plans, open.code, &Plan::code) == plans.end();
    });
    request.others = plans_as_they_stand(book, request.lots, others);
    put_prices(request.lots, desk.ledger);
    request.limits.stop = desk.stop;
    if (desk.progress)
        request.progress = [tell = desk.progress](plan::AnswerKind kind, const plan::MipProgress& now) {
            tell(fmt::format("{}: {}", word(kind), report::search_said(now)));
        };
    std::map<std::string, std::optional<Learned>> learned;
    for (const Plan& plan : plans) {
        request.lots = without_promises(plan, std::move(request.lots));
        plan::BrewToFill& brew = request.brews.emplace_back();
        brew.code = plan.code;
        brew.date = plan.date;
        brew.recipe = known_recipe(book, plan.recipe);
        brew.brewhouse = brewhouse_of(plan, book);
        brew.volume = plan.volume.value_or(brew.recipe.volume);
        const auto [at, is_new] = learned.try_emplace(brew.brewhouse.name);
        if (is_new) at->second = learned_for(desk, book, brew.brewhouse.name);
        brew.learned = at->second;
    }
    return request;
}

std::vector<std::string> due_by_then(const Book& book, const std::vector<LotState>& lots,
                                     const std::vector<Plan>& plans) {
    std::vector<std::string> due;
    for (const PlanLack& lack : plan_lacks(book, lots))
        if (std::ranges::find(plans, lack.plan, &Plan::code) != plans.end() && lack.missing.units <= 0 &&
            lack.from_orders.units > 0)
            due.push_back(fmt::format("{} of {} for {} on {} is due on order by then", to_text(lack.from_orders),
                                      lack.line.item, lack.plan, to_iso(lack.date)));
    return due;
}

std::vector<std::string> learned_remarks(const plan::SubstituteRequest& request) {
    std::vector<std::string> remarks;
    for (const plan::BrewToFill& brew : request.brews)
        if (brew.learned) std::ranges::copy(brew.learned->remarks, std::back_inserter(remarks));
    return remarks;
}

} // namespace lotwort
