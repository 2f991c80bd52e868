#include "substitute_request.hpp"
#include "brew_learn.hpp"
#include <map>

namespace lotwort::cli {

plan::SubstituteRequest substitute_request(Call& call, const Book& book, const std::vector<Plan>& plans) {
    plan::SubstituteRequest request;
    request.items = book.items;
    request.orders = book.orders;
    request.today = call.surroundings.today;
    request.lots = call.ledger().lots();
    std::map<std::string, std::optional<Learned>> learned;
    for (const Plan& plan : plans) {
        request.lots = without_promises(plan, std::move(request.lots));
        plan::BrewToFill& brew = request.brews.emplace_back();
        brew.code = plan.code;
        brew.date = plan.date;
        brew.recipe = known_recipe(book, plan.recipe);
        brew.brewhouse = chosen_brewhouse(book, plan.brewhouse);
        brew.volume = plan.volume.value_or(brew.recipe.volume);
        const auto [at, is_new] = learned.try_emplace(brew.brewhouse.name);
        if (is_new) at->second = learned_for(call, book, brew.brewhouse.name);
        brew.learned = at->second;
    }
    return request;
}

} // namespace lotwort::cli
