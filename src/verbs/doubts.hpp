// What is hard to believe of a delivery or a brew: asked about before it is booked (Call::believe).
#pragma once

#include "shared.hpp"
#include <lotwort/brew/planned_brew.hpp>

namespace lotwort::verbs {

// More of a malt, sugar or hop in one lot than the largest kit takes in 200 brews: a slip of the unit, or of a nought.
void doubt_amounts(Call& call, const Book& part);

// Alpha acids below 1 or above 25 %.
void doubt_certificates(const Call& call, const std::vector<Lot>& lots);

// A price ten times that of the item's last lot, or a tenth: the price is for the whole lot, not for a kilogram.
void doubt_prices(Call& call, const std::vector<Lot>& lots);

// The same of one item, with one supplier's number, on one day as a lot that is there: the delivery may be typed twice.
void doubt_typed_twice(Call& call, const std::vector<Lot>& lots);

// More than a kilogram of malt or 50 g of a hop to the litre, a boil of more than 4 h, alpha acids below 1 or above 25
// %.
void doubt_recipe(const Call& call, const Recipe& recipe);

// More than half as much again as the kit is meant for.
void doubt_volume(const Call& call, Litres volume, const Brewhouse& brewhouse);

// More litres than the vessel's dip table reaches to; without one, than twice what the brewhouse is meant for, and in
// the fermenter half as much again for each of the brews in it.
void doubt_full_vessels(const Call& call, const std::vector<Reading>& readings, const Brewhouse& brewhouse,
                        int brews_in_fermenter);

// A gravity of the full kettle, at cast-out or in the fermenter further than 5 standard deviations from what its brew
// was forecast: of what was weighed where its plan is known, else of its recipe. The reading's own is one of them.
void doubt_gravities(Call& call, const Brew& brew, const std::vector<Reading>& readings, const Book& book);

// More than twice or less than half of what the recipe asks for of a malt, sugar or hop, or of what was believed of it
// before. None of it at all, and what was not there to be taken, is told
// elsewhere; what goes into the fermenter may follow.
void doubt_weights(const Call& call, const PlannedBrew& planned, const std::vector<Addition>& additions,
                   const std::vector<LotState>& lots, const std::vector<Addition>& before = {});

} // namespace lotwort::verbs
