// On which days an order may pay: a day is left out only where another is as good for every order that it could bear.
#pragma once

#include <lotwort/plan/purchase_case.hpp>

namespace lotwort::plan {

// What can be ordered on a day: offer, and the day from which it is counted on.
using OfferDays = std::map<Date, std::map<std::size_t, Date>>;

// A supplier's days that some best plan orders on, whatever it orders. The proof: docs/methods/purchase.md.
// every: all on which an order can bring what is of use, as good as others or not.
[[nodiscard]] OfferDays order_days(const PurchaseCase& wanted, const std::string& supplier, bool every = false);

} // namespace lotwort::plan
