#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/desk/recipe_forecast.hpp>

namespace lotwort {

RecipeForecast recipe_forecast(const Desk& desk, const Book& book, const Recipe& recipe, Litres volume,
                               const std::optional<std::string>& brewhouse, const std::vector<Item>& made) {
    PlanRequest request;
    request.recipe = recipe;
    request.volume = volume;
    request.items = book.items;
    request.items.insert(request.items.end(), made.begin(), made.end());
    request.lots = desk.ledger.lots();
    request.date = desk.today;
    request.near_enough = true; // as a plan for today would have it
    if (book.brewhouses.empty() && !brewhouse) {
        request.brewhouse.name = "a typical brewhouse of that size";
        request.brewhouse.volume = volume;
    } else {
        request.brewhouse = chosen_brewhouse(book, brewhouse);
        request.learned = learned_for(desk, book, request.brewhouse.name);
    }
    return {request.brewhouse.name, draw_up_plan(request)};
}

} // namespace lotwort
