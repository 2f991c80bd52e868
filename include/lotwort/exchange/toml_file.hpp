// Recipes and brewhouses as people write them by hand: TOML, with the field names of the exchange file
// (docs/exchange.md shows both).
#pragma once

#include <lotwort/brew/brewhouse.hpp>
#include <lotwort/brew/recipe.hpp>
#include <string_view>
#include <vector>

namespace lotwort {

// One recipe whose fields stand at the top of the file, or several, each under [[recipe]].
// Error(refused) lists every fault, each with line, column and field; a file over 1 MB is refused unread.
[[nodiscard]] std::vector<Recipe> read_recipe_toml(std::string_view text, std::string_view source);

struct BrewhouseFile {
    Brewhouse brewhouse;
    std::vector<Instrument> instruments;
};

// A brewhouse whose fields stand at the top of the file, and the instruments it has under [[instruments]].
[[nodiscard]] BrewhouseFile read_brewhouse_toml(std::string_view text, std::string_view source);

} // namespace lotwort
