// One line as it is typed: ITEM=AMOUNT@STAGE,MINUTES.
#pragma once

#include "shared.hpp"
#include <lotwort/brew/recipe.hpp>

namespace lotwort::verbs {

// When something goes in: boil,60 or stand,20,80C or dry,4 or kettle.
struct Place {
    Stage stage = Stage::boil;
    std::optional<Minutes> minutes;
    std::optional<Celsius> temperature;
    std::optional<int> days;
    friend bool operator==(const Place&, const Place&) = default;
};
[[nodiscard]] Place place_of(const HopLine& line);
[[nodiscard]] Place place_of(const OtherLine& line);
void put(const Place& place, HopLine& line);
void put(const Place& place, OtherLine& line);

// Without a place where none was typed.
template <class Line>
struct TypedLine {
    Line line;
    std::optional<Place> place;
};
[[nodiscard]] GristLine parse_malt(const Book& book, const std::string& text);
[[nodiscard]] TypedLine<HopLine> parse_hop(const Book& book, const std::string& text);
[[nodiscard]] TypedLine<OtherLine> parse_other(const Book& book, const std::string& text);
[[nodiscard]] OtherLine parse_yeast(const Book& book, const std::string& text);

// What --drop names: an item, and which of its lines.
struct Dropped {
    std::string item;
    std::optional<Place> place;
};
[[nodiscard]] Dropped parse_dropped(const Book& book, const std::string& text);

} // namespace lotwort::verbs
