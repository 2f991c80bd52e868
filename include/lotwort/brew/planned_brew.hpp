// A recipe put on a day: what it takes of which lots, what is lacking, and what should come of it.
//
// A brewer plans from the sacks that are there: their certificates set the grist, the oldest go first, and a
// forecast with its interval says what to expect. What is lacking does not stop a plan; it is listed, and the
// forecast takes the missing part to be like any lot of that item.
#pragma once

#include <lotwort/brew/brew.hpp>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/stock/reserve.hpp>
#include <map>
#include <string>
#include <vector>

namespace lotwort {

struct PlanRequest {
    std::string code;
    Date date;
    Recipe recipe;
    Brewhouse brewhouse;
    Litres volume; // in the fermenter
    std::vector<Item> items;
    std::vector<LotState> lots;
    std::optional<Learned> learned{}; // what past brews taught; the forecast takes it
    // Choose masses and liquor so that the learned forecast, not the book's, meets the recipe's gravity and the volume.
    bool aim = false;
    double within_sg = 0.002; // of the target gravity, that counts as on it
    std::vector<Pin> pins{};  // lots to be taken before others
};

// One line of the recipe, counted from 0 through grist, hops and others.
struct PlannedLine {
    int line = 0;
    std::string item;
    ItemKind kind = ItemKind::malt;
    Stage stage = Stage::mash;
    std::optional<Minutes> minutes;
    std::optional<Celsius> temperature; // of a stand
    std::optional<int> days;            // of a dry addition
    Amount needed;
    Allotment allotment;
    [[nodiscard]] bool is_short() const { return allotment.missing.units > 0; }
};

struct PlannedBrew {
    Plan plan; // code, date, recipe, brewhouse, volume, and what is reserved
    std::vector<PlannedLine> lines;
    std::map<std::string, std::string> stand_ins; // the item of each reserved lot that is not of its line's own
    Forecast forecast;
    std::optional<Celsius> mash_rest;
    std::optional<Celsius> strike_temperature; // where the recipe states a mash rest
    std::optional<Minutes> boil;
    std::optional<double> on_target; // probability that the gravity lands within within_sg of the recipe's
    double within_sg = 0.0;
    std::vector<std::string> remarks; // what was assumed, or is worth a look, in sentences
    [[nodiscard]] bool is_short() const;
};

// Draws the plan up. Masses are whole weigh steps of the brewhouse (10 g of malt and sugar, 1 g of hops unless it
// states others; anything else to 0.1 g), pieces are whole, upwards. A grist by shares is set so that the forecast
// meets the recipe's gravity with its sugars and hops in, to within a weigh step.
// Error(refused) where the recipe names an item nobody knows, or cannot be scaled (see forecast.hpp), and where a pin
// cannot be kept: its lot is on hold, not there on the day or no item of the recipe, or the brew takes less than its
// amount; Error(shortage) where less of the lot is free.
[[nodiscard]] PlannedBrew draw_up_plan(const PlanRequest& request);

struct Lacking {
    int line = 0;
    Amount missing;
};

// A plan as it is booked: its own reservations, whatever else has come into stock since, and what it lacks beside
// them, which is forecast as any lot of its item. needed is the sum of both; where no malt is, the forecast is all
// zeros. Error(refused) where a reservation's lot or line is gone.
[[nodiscard]] PlannedBrew as_booked(const PlanRequest& request, const Plan& plan,
                                    const std::vector<Lacking>& lacking = {});

// The liquor's temperature that brings the mash to its rest: rest + s (rest - grain) / ratio, s = 0.41 L/kg, the
// heat that a kilogram of malt holds against a litre of water (1.7 over 4.19 kJ/K; heat balance). The heat that a
// cold tun takes comes on top, so it is the least.
[[nodiscard]] Celsius strike_temperature(Celsius rest, Celsius grain, LitresPerKilogram ratio);

} // namespace lotwort
