// A purchase plan looked at again, from the case alone: stock by day, what spoils, packs, minimum orders, money.
//
// Written anew, without the model's code: it walks through the days as the store-room does.
#pragma once

#include <lotwort/plan/purchase_case.hpp>

namespace lotwort::plan {

// Every breach in a sentence that begins with the rule's number (B1 to B6) or `money`; empty where all is kept. Amounts
// are compared to 1e-6 of a unit, money to 1e-6 of its size.
[[nodiscard]] std::vector<std::string> purchase_breaches(const PurchaseCase& wanted, const PurchasePlan& plan);

} // namespace lotwort::plan
