// A recipe put on a day: what it takes of which lots, what is lacking, and what should come of it.
//
// A brewer plans from the sacks that are there: their certificates set the grist, the oldest go first, and a
// forecast with its interval says what to expect. What is lacking does not stop a plan; it is listed, and the
// forecast takes the missing part to be like any lot of that item.
#pragma once

#include <lotwort/brew/planned.hpp>

namespace lotwort {

// Draws the plan up. Masses are whole weigh steps of the brewhouse (10 g of malt and sugar, 1 g of hops unless it
// states others; anything else to 0.1 g), pieces are whole, upwards. A grist by shares is set so that the forecast
// meets the recipe's gravity with its sugars and hops in, to within a weigh step.
// Error(refused) where the recipe names an item nobody knows, or cannot be scaled (see forecast.hpp). Error(refused)
// too where a pin cannot be kept: its lot is on hold, not there on the day or no item of the recipe, or the brew
// takes less than its amount. Error(shortage) where less of the lot is free.
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

// The tank and the yeast that one plan names, for the same brew drawn up anew; a stated day moves with the brew's.
void keep_places(Plan& made, const Plan& of);

// Grain in a store that nobody heats: 20 °C from June to August, 12 from December to February, 16 between. Judgement,
// north of the equator.
[[nodiscard]] Celsius usual_grain(Date day);

// The liquor's temperature that brings the mash to its rest: rest + s (rest - grain) / ratio, s = 0.41 L/kg, the
// heat that a kilogram of malt holds against a litre of water (1.7 over 4.19 kJ/K; heat balance). The heat that a
// cold tun takes comes on top, so it is the least.
[[nodiscard]] Celsius strike_temperature(Celsius rest, Celsius grain, LitresPerKilogram ratio);

} // namespace lotwort
