// A recipe's line may state the figures of the malt or hop that it means: how much of what is there does the same.
#pragma once

#include <lotwort/brew/recipe.hpp>
#include <lotwort/core/estimate.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort {

// Hops boiled for their bitterness: 30 minutes or more. All others are there for their oil.
[[nodiscard]] bool is_bittering(Stage stage, const std::optional<Minutes>& minutes);

// Whether the colour that a line states rules its mass, and not the extract.
[[nodiscard]] bool is_by_colour(const GristLine& meant, const Item& item);

// The mass of what is there over the mass of what is meant; 1 where the line states no figure, or where what is there
// gives nothing. A malt by its extract, fine grind in dry matter (the moisture is that of what is there). By its
// colour, linear in degrees Lovibond, where colour alone is stated, or of caramel and roasted malts, which are there
// for it.
[[nodiscard]] double mass_ratio(const GristLine& meant, const Item& item, const MaltFigures& there);

// A hop boiled for its bitterness by its alpha acids; any other stays by mass.
[[nodiscard]] double mass_ratio(const HopLine& meant, const Figure& alpha_there_pct);

} // namespace lotwort
