#include "substitute_request.hpp"
#include "brew_learn.hpp"
#include "brew_plan.hpp"
#include "lot_values.hpp"
#include <algorithm>
#include <map>

namespace lotwort::cli {

plan::SubstituteRequest substitute_request(Call& call, const Book& book, const std::vector<Plan>& plans) {
    plan::SubstituteRequest request;
    request.items = book.items;
    request.orders = book.orders;
    request.today = call.surroundings.today;
    request.lots = call.ledger().lots();
    put_prices(request.lots, call.ledger());
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
        if (is_new) at->second = learned_for(call, book, brew.brewhouse.name);
        brew.learned = at->second;
    }
    return request;
}

std::vector<plan::Shortage> lacking_of(const Book& book, const std::vector<LotState>& lots,
                                       const std::vector<Plan>& plans) {
    std::vector<plan::Shortage> lacking;
    for (PlanLack& lack : plan_lacks(book, lots))
        if (lack.missing.units > 0 && std::ranges::find(plans, lack.plan, &Plan::code) != plans.end())
            lacking.push_back({lack.plan, lack.date, lack.line.line, lack.line.item, lack.line.needed, lack.from_orders,
                               lack.missing, std::move(lack.passed_over), lack.more_due});
    return lacking;
}

} // namespace lotwort::cli
