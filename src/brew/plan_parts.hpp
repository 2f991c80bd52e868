// What a planned line is made of, lot by lot.
#pragma once

#include <lotwort/brew/planned.hpp>

namespace lotwort {

// Error(refused): the recipe names an item nobody knows.
[[nodiscard]] const Item& item_named(const PlanRequest& request, const std::string& name);
const Item& item_named(const PlanRequest&&, const std::string&) = delete;

// Error(refused): a reserved lot is gone.
[[nodiscard]] const Lot& lot_coded(const PlanRequest& request, const std::string& code);
const Lot& lot_coded(const PlanRequest&&, const std::string&) = delete;

// A part of a line with the lot it comes from; none for what is missing. Points into the request.
struct Part {
    Amount amount;
    const Item* item;
    const Lot* lot;
    [[nodiscard]] const std::string& name() const { return lot != nullptr ? lot->code : item->name; }
};

[[nodiscard]] std::vector<Part> parts_of(const PlanRequest& request, const PlannedLine& line);

// By the lot's paper on the day, else by what is known of the item (stock/item_figures.hpp).
[[nodiscard]] MaltFigures figures_of(const PlanRequest& request, const Part& part);
[[nodiscard]] Figure alpha_of(const PlanRequest& request, const Part& part);

// What the lines of the recipe's grist need in all.
[[nodiscard]] Kilograms grist_mass(const Recipe& recipe, const std::vector<PlannedLine>& lines);

} // namespace lotwort
