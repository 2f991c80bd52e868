#include "brew_plan.hpp"
#include <algorithm>

namespace lotwort::cli {

PlanRequest plan_request(const PlanWish& wish, const Book& book, std::vector<LotState> lots) {
    PlanRequest request;
    request.code = wish.code;
    request.date = wish.date;
    request.recipe = known_recipe(book, wish.recipe);
    request.brewhouse = chosen_brewhouse(book, wish.brewhouse);
    request.volume = wish.volume.value_or(request.recipe.volume);
    request.items = book.items;
    request.lots = std::move(lots);
    return request;
}

PlannedBrew open_plan(const Plan& plan, const Book& book, std::vector<LotState> lots, std::optional<Learned> learned) {
    PlanRequest request =
        plan_request({plan.code, plan.date, plan.recipe, plan.brewhouse, plan.volume}, book, std::move(lots));
    request.learned = std::move(learned);
    return plan.reserved.empty() ? draw_up_plan(request) : as_booked(request, plan);
}

const Plan* find_plan(const Book& book, std::string_view code) {
    const auto found = std::ranges::find(book.plans, code, &Plan::code);
    return found == book.plans.end() ? nullptr : &*found;
}

std::vector<std::string> plan_codes(const std::vector<Plan>& plans) {
    std::vector<std::string> codes;
    for (const Plan& plan : plans) codes.push_back(plan.code);
    return codes;
}

std::vector<LotState> without_promises(const Plan& plan, std::vector<LotState> lots) {
    for (const auto& reservation : plan.reserved)
        for (auto& state : lots)
            if (state.lot.code == reservation.lot) state.promised = state.promised - reservation.amount;
    return lots;
}

} // namespace lotwort::cli
