// Buy, or let another malt or hop serve: one model of both.
#pragma once

#include <lotwort/plan/purchase_demand.hpp>

namespace lotwort::plan {

// Gives the needs of a drawn case their alternatives (S4), and the brews their rules of colour, enzymes and shares
// (S6 to S8). Extract, bittering and late mass hold line by line, which is stricter than S5, S9 and S10; weigh steps
// and crumbs are left to the brew day.
void add_substitutes(const PurchaseWish& wish, DrawnPurchase& drawn);

} // namespace lotwort::plan
