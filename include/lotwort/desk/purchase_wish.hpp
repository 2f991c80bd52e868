// Open plans, stock, orders and offers as the purchase plan wants them: for `buy` and its page.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/plan/purchase_demand.hpp>

namespace lotwort {

// Each open plan as it stands: what it has reserved, and what it lacks. Masses are learned of each plan's brewhouse.
[[nodiscard]] plan::PurchaseWish purchase_wish(const Desk& desk, const Book& book);

// What brews lack and is there all the same, free: a sentence each, with what reserves it.
[[nodiscard]] std::vector<std::string> lacks_in_stock(const Book& book, const plan::PurchaseWish& wish,
                                                      const plan::DrawnPurchase& drawn,
                                                      const plan::PurchasePlan& found);

} // namespace lotwort
