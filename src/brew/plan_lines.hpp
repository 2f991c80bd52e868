// The lines of a plan before they have lots, and the steps in which they are weighed.
#pragma once

#include <lotwort/brew/planned.hpp>

namespace lotwort {

// The brewhouse's own where it states one: else 10 g of malt and sugar, 1 g of hops; 0.1 g of all else.
[[nodiscard]] double step_kg(ItemKind kind, const Brewhouse& brewhouse);

// Whole steps, one at least of what is more than nothing.
[[nodiscard]] Amount in_steps(Kilograms mass, ItemKind kind, const Brewhouse& brewhouse);
[[nodiscard]] Amount whole_millilitres(Litres volume);

// The recipe's lines without their amounts.
[[nodiscard]] std::vector<PlannedLine> lines_of(const PlanRequest& request);

} // namespace lotwort
