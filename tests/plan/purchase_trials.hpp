// Small purchases drawn by chance, and their least cost found by trying every order on every day: nothing here is
// shared with the model.
#pragma once

#include <lotwort/plan/purchase.hpp>

namespace lotwort::test {

// One or two items, one or two suppliers, a week or so; whole units, packs and prices.
[[nodiscard]] plan::PurchaseCase drawn_purchase(unsigned seed);

// The least cost of all plans that meet the needs, the safety stocks and the budget and cost no more than `at_most`;
// infinite where there is none.
[[nodiscard]] double tried_out_cost(const plan::PurchaseCase& wanted, double at_most);

} // namespace lotwort::test
