// The answers of `lotwort recipe`.
#pragma once

#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/brew/recipe.hpp>
#include <lotwort/report/booked.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

// What a recipe should come to, as it would be brewed today.
struct ForecastRecipe {
    std::string recipe, brewhouse;
    Forecast forecast;
};
using RecipeForecasts = std::vector<ForecastRecipe>;

[[nodiscard]] std::string recipe_text(const Recipe& recipe); // one recipe whole
// A sentence for each: "On garage, expected: ..."; empty for none.
[[nodiscard]] std::string recipe_forecasts_text(const RecipeForecasts& forecasts);
[[nodiscard]] std::string recipe_list_text(const std::vector<Recipe>& recipes);
[[nodiscard]] std::string recipe_list_csv(const std::vector<Recipe>& recipes);
// lotwort/recipe/1
[[nodiscard]] std::string recipe_list_json(const std::vector<Recipe>& recipes, const RecipeForecasts& forecasts = {});

// After `recipe add`: the recipes, and the items that were made because a recipe names them.
struct AddedRecipes {
    std::vector<Recipe> recipes;
    std::vector<Item> made;
    Booked booked;
    std::vector<std::string> remarks{};
    RecipeForecasts forecasts{};
};
[[nodiscard]] std::string recipe_added_text(const AddedRecipes& added);
[[nodiscard]] std::string recipe_added_json(const AddedRecipes& added);

// A recipe for another volume: `scaled` is a plan drawn up from no stock, so every line asks for what it needs.
struct ScaledRecipe {
    Recipe recipe;
    std::string brewhouse;
    PlannedBrew scaled;
    struct Lack {
        std::string item;
        Amount missing; // beyond what is free today, lines of one item together
    };
    std::vector<Lack> lacking;
};
[[nodiscard]] std::string recipe_scaled_text(const ScaledRecipe& scaled);
[[nodiscard]] std::string recipe_scaled_json(const ScaledRecipe& scaled); // "scaled"

// When a line goes in: "mash", "boil 60 min", "stand 30 min at 80 °C", "dry 5 days".
[[nodiscard]] std::string when_text(Stage stage, const std::optional<Minutes>& minutes,
                                    const std::optional<Celsius>& temperature, const std::optional<int>& days);

// What of an item that was made from its name: "pale ale malt is new: kept as base malt, with typical values".
[[nodiscard]] std::string made_text(const std::vector<Item>& made);

} // namespace lotwort::report
