// What of each item is to be kept for brews that take more than their forecast, and what of it is worth anything when
// it is left at the end.
#pragma once

#include <lotwort/plan/purchase_demand.hpp>

namespace lotwort::plan {

// Sets PurchaseNeed::safety. spread: by need, the relative standard deviation of what it will take.
void add_safety(PurchaseCase& wanted, const std::vector<double>& spread, double service);

// Sets PurchaseCase::most_left for every item that is sold; after add_safety.
void add_most_left(PurchaseCase& wanted, const std::optional<LaterUse>& later);

// Items of which what is there meets all uses, with the safety stock after each.
[[nodiscard]] std::set<std::string> covered_items(const PurchaseCase& wanted);

} // namespace lotwort::plan
