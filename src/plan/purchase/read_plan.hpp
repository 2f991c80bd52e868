// The orders, uses and money of a plan, out of the values of its model's columns.
#pragma once

#include "model.hpp"

namespace lotwort::plan {

// A case as it was asked, and as it stands with what is late moved and safety eased.
struct EasedCase {
    const PurchaseCase &asked, &now;
    const std::vector<std::size_t>& asked_need; // of asked.needs, by need of now
};

// Neither its bound nor what is late: the search has those.
[[nodiscard]] PurchasePlan read_plan(const EasedCase& eased, const PurchaseModel& model,
                                     const std::vector<double>& values);

} // namespace lotwort::plan
