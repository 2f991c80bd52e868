// The plan of one part of a case.
#pragma once

#include <lotwort/plan/purchase_case.hpp>

namespace lotwort::plan {

// Columns of uses from which a plan is sought by order days alone (purchase_long.hpp).
inline constexpr std::size_t many_uses = 1500;

// plan_purchases of a case that does not come apart.
[[nodiscard]] PurchasePlan plan_part(const PurchaseCase& wanted, const MipOptions& limits);

// Before anything of an item can come its safety stock cannot be helped: none is asked for then.
void ease_safety(PurchaseCase& wanted);

} // namespace lotwort::plan
