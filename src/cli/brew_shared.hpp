// What the verbs of the brew day share: brewhouses, recipes and plans by name, and the next free code.
#pragma once

#include "shared.hpp"

namespace lotwort::cli {

// Error(refused) with the nearest names.
[[nodiscard]] const Brewhouse& known_brewhouse(const Book& book, std::string_view name);
const Brewhouse& known_brewhouse(const Book&&, std::string_view) = delete;
[[nodiscard]] const Recipe& known_recipe(const Book& book, std::string_view name);
const Recipe& known_recipe(const Book&&, std::string_view) = delete;
[[nodiscard]] const Instrument& known_instrument(const Book& book, std::string_view name);
const Instrument& known_instrument(const Book&&, std::string_view) = delete;

// The brewhouse named, else the only one there is. Error(refused) where there is none, or several.
[[nodiscard]] const Brewhouse& chosen_brewhouse(const Book& book, const std::optional<std::string>& name);
const Brewhouse& chosen_brewhouse(const Book&&, const std::optional<std::string>&) = delete;

// The code after the highest of those that are PREFIX and digits, with as many digits: P12 gives P13, B009 gives
// B010; the first is PREFIX1.
[[nodiscard]] std::string next_code(std::string_view prefix, const std::vector<std::string>& taken);

// An item of that name with the kind and class that the name speaks of; figures are left to what is typical.
[[nodiscard]] Item item_of_name(const std::string& name);

// An amount as it is typed: 4.36kg.
[[nodiscard]] std::string typed_text(Amount amount);

// What follows, where the verb has one positional: the word itself, or a refusal that shows what to write.
[[nodiscard]] const std::string& needed(const Call& call, std::string_view positional, std::string_view write);
const std::string& needed(const Call&&, std::string_view, std::string_view) = delete;

} // namespace lotwort::cli
