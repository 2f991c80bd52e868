// What is hard to believe of a delivery or a brew: asked about before it is booked (Call::believe).
#pragma once

#include "shared.hpp"
#include <lotwort/brew/planned_brew.hpp>

namespace lotwort::verbs {

// More of a malt, sugar or hop in one lot than the largest kit takes in 200 brews: a slip of the unit, or of a nought.
void doubt_amounts(Call& call, const Book& part);

// A price ten times that of the item's last lot, or a tenth: the price is for the whole lot, not for a kilogram.
void doubt_prices(Call& call, const std::vector<Lot>& lots);

// More than half as much again as the kit is meant for.
void doubt_volume(const Call& call, Litres volume, const Brewhouse& brewhouse);

// More litres than the vessel's dip table reaches to.
void doubt_full_vessels(const Call& call, const std::vector<Reading>& readings, const Brewhouse& brewhouse);

// More than twice what the recipe asks for of a malt, sugar or hop, or twice what was believed of it before.
void doubt_weights(const Call& call, const PlannedBrew& planned, const std::vector<Addition>& additions,
                   const std::vector<LotState>& lots, const std::vector<Addition>& before = {});

} // namespace lotwort::verbs
