// A recipe as it would be brewed today: what each line asks for, and what should come of it.
#pragma once

#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/desk/desk.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

struct RecipeForecast {
    std::string brewhouse; // "a typical brewhouse of that size" where there is none yet
    PlannedBrew planned;   // from what is free, each line whole
};

// `made`: items that the recipe names and the book does not hold. Error(refused) where several brewhouses are there and
// none is named, and for what draw_up_plan refuses.
[[nodiscard]] RecipeForecast recipe_forecast(const Desk& desk, const Book& book, const Recipe& recipe, Litres volume,
                                             const std::optional<std::string>& brewhouse = {},
                                             const std::vector<Item>& made = {});

} // namespace lotwort
