// Small purchases drawn by chance, and their least cost found by trying every order on every day: nothing here is
// shared with the model.
#pragma once

#include <lotwort/plan/purchase.hpp>

namespace lotwort::test {

// One or two items, one or two suppliers, a week or so; whole units, packs and prices.
[[nodiscard]] plan::PurchaseCase drawn_purchase(unsigned seed);

// Weekly brews, 30 items, 55 offers of 5 suppliers: two maltings, two hop merchants, one who sells yeast and salts;
// each malt and each hop is sold by two. Malts that a brew takes more than a sack of are cheaper from ten sacks on.
// Delivery, free delivery and minimum orders, closed weekends, shelf lives, 8 % a year for keeping.
[[nodiscard]] plan::PurchaseCase weekly_purchase(unsigned seed, int weeks);

// The least cost of all plans that meet the needs, the safety stocks and the budget and cost no more than `at_most`;
// infinite where there is none.
[[nodiscard]] double tried_out_cost(const plan::PurchaseCase& wanted, double at_most);

// Is there a plan that meets all that for so much money at most, keeping included?
[[nodiscard]] bool could_be_in_time(const plan::PurchaseCase& wanted, double money);

} // namespace lotwort::test
