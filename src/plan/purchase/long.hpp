// Purchases of many months: a good plan soon, a better one with time, and how good at least.
#pragma once

#include "model.hpp"

namespace lotwort::plan {

struct LongPlan {
    PurchaseModel model;      // with the order days of the plan alone
    MipAnswer answer;         // its best; infeasible: not all needs can be met
    double bound = -no_limit; // no plan at all costs less
};

// Order days by trying others (search.hpp), compared with a cost that no plan can go below (bound.hpp). Whatever ends
// the search, there is a plan, unless the needs cannot be met. The case must be one that has_lots; its budget is left
// out of account. refined: what time is left is used up; else it is left to others.
[[nodiscard]] LongPlan plan_long(const PurchaseCase& wanted, const MipOptions& limits, bool refined);

// How many columns the full model would have for uses.
[[nodiscard]] std::size_t count_uses(const PurchaseCase& wanted);

} // namespace lotwort::plan
