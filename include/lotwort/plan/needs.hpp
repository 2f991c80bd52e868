// What a planned brew asks of the stock, line by line, before anything is taken.
#pragma once

#include <lotwort/brew/planned_brew.hpp>
#include <string>
#include <vector>

namespace lotwort::plan {

// A brew that is to be filled from stock.
struct BrewToFill {
    std::string code;
    Date date;
    Recipe recipe;
    Brewhouse brewhouse; // a volume alone will do: the rest is typical then
    Litres volume;       // in the fermenter
    std::optional<Learned> learned{};
};

// One line of the recipe, counted from 0 through grist, hops and others.
struct Need {
    int line = 0;
    std::string item;
    ItemKind kind = ItemKind::malt;
    Stage stage = Stage::mash;
    std::optional<Minutes> minutes;
    std::optional<Celsius> temperature;
    bool is_grist = false;
    bool is_hop_line = false;
    Amount amount;
    double mass_kg = 0.0; // of a mass: exactly the recipe's share of the volume, not in weigh steps
};

// The brew as the recipe has it, every item as its card states: what answers are held against.
struct Nominal {
    std::vector<Need> needs;
    Forecast forecast;
};

// Masses in proportion to the volume; a grist by shares and hops by bitterness as draw_up_plan sets them (weigh steps).
// Error(refused) as draw_up_plan: an item nobody knows, a recipe that cannot be scaled.
[[nodiscard]] Nominal nominal_brew(const BrewToFill& brew, const std::vector<Item>& items);

// The items and lots handed over as the planning of that brew alone wants them.
[[nodiscard]] PlanRequest plan_request(const BrewToFill& brew, std::vector<Item> items, std::vector<LotState> lots);

// What is weighed of malt and hops, and what counts as too little: the brewhouse's word, else 10 g and 1 g, 250 g and
// 20 g; the least take is 100 g and 5 g.
struct Weighing {
    double step_kg = 0.0, least_kg = 0.0, crumb_kg = 0.0;
};
[[nodiscard]] Weighing weighing_of(ItemKind kind, const Brewhouse& brewhouse);

} // namespace lotwort::plan
