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

PlannedBrew open_plan(const Plan& plan, const Book& book, std::vector<LotState> lots) {
    const PlanRequest request =
        plan_request({plan.code, plan.date, plan.recipe, plan.brewhouse, plan.volume}, book, std::move(lots));
    return plan.reserved.empty() ? draw_up_plan(request) : as_booked(request, plan);
}

const Plan* find_plan(const Book& book, std::string_view code) {
    const auto found = std::ranges::find(book.plans, code, &Plan::code);
    return found == book.plans.end() ? nullptr : &*found;
}

std::vector<std::string> plan_codes(const Book& book, const std::vector<Brew>& brews) {
    std::vector<std::string> codes;
    for (const Plan& plan : book.plans) codes.push_back(plan.code);
    for (const Brew& brew : brews)
        if (brew.plan) codes.push_back(*brew.plan);
    return codes;
}

} // namespace lotwort::cli
