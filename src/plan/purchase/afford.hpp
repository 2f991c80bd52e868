// Brews that a budget reaches, in the order of their days: each whole, or not at all.
#pragma once

#include <functional>
#include <lotwort/plan/purchase_case.hpp>

namespace lotwort::plan {

using PlanPurchases = std::function<PurchasePlan(const PurchaseCase&, const MipOptions&)>;

// The plan of a case whose budget does not reach for all. A hop that is bought for a brew without its malt is money
// in the wrong place. So the earliest brews come first, and then later ones that the money left is enough for. The
// others are late for money, with what they lack. for_any_money: the plan without a budget. is_long: whether money is
// enough is judged by plans alone.
[[nodiscard]] PurchasePlan plan_within_budget(const PurchaseCase& wanted, const PurchasePlan& for_any_money,
                                              const MipOptions& limits, bool is_long, const PlanPurchases& plan);

} // namespace lotwort::plan
