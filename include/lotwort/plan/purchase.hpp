// What to buy, from whom, by when, at least total cost: lot-sizing over days, as a mixed-integer programme.
//
// Three brews are on the calendar, the sack of pale malt is not enough for the second, and two maltings sell it. One
// sells sacks of 25 kg, dearer by the sack from nine on. The other is cheaper, but with a delivery charge and a
// week's lead. Hops of the same order come free of that charge.
//
// Here is the arithmetic alone: needs by day, what is there, who sells what. The needs of brews, their safety stock
// and the ageing of hops are drawn up by purchase_demand.hpp.
//
// The rules are B1 to B6 (docs/methods/purchase.md). Amounts are in each item's own unit (kg, L or pieces), money in
// the ledger's currency, days are calendar days.
#pragma once

#include <lotwort/plan/purchase_case.hpp>

namespace lotwort::plan {

// Least total cost. Error(refused) for a price that rises with the number of packs, a pack of nothing, a need of a
// negative amount. What cannot be had in time is `late`, never an error. `limits`: gaps, nodes, seconds, interrupt,
// progress of the search; a search that is stopped gives the best so far with its gap.
//
// A day is left out where each order of it could as well be placed on a later one, whatever is on it. No optimum is
// lost by that: docs/methods/purchase.md.
[[nodiscard]] PurchasePlan plan_purchases(const PurchaseCase& wanted, const MipOptions& limits = {});

// The model as MPS, for other solvers.
[[nodiscard]] std::string purchase_mps(const PurchaseCase& wanted);

// The day an order of that day arrives; none where the supplier is closed on either day. A supplier whose closed days
// and lead leave no such day in the week delivers on the next open day instead.
[[nodiscard]] std::optional<Date> arrival_of(const SupplierTerms& terms, int lead_days, Date order_day);

} // namespace lotwort::plan
