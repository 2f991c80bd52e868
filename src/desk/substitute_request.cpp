#include <algorithm>
#include <fmt/format.h>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/lot_values.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/substitute_request.hpp>
#include <map>

namespace lotwort {

plan::SubstituteRequest substitute_request(const Desk& desk, const Book& book, const std::vector<Plan>& plans) {
    plan::SubstituteRequest request;
    request.items = book.items;
    request.orders = book.orders;
    request.offers = book.offers;
    request.suppliers = book.suppliers;
    request.currency = desk.ledger.currency();
    request.today = desk.today;
    request.lots = desk.ledger.lots();
    put_prices(request.lots, desk.ledger);
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

} // namespace lotwort
