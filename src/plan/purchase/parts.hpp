// A case in parts that have nothing to do with one another: the maltings' and the hop merchant's.
#pragma once

#include <lotwort/plan/purchase_case.hpp>

namespace lotwort::plan {

struct PurchasePart {
    PurchaseCase wanted;
    std::vector<std::size_t> needs, supplies, offers; // of the whole
};

// Items that share a supplier belong together, and items that may serve one need, or needs of one blend. A budget ties
// all: one part then.
[[nodiscard]] std::vector<PurchasePart> parts_of(const PurchaseCase& wanted);

// Adds a part's plan to that of the whole; bounds add up.
void add_part(PurchasePlan& whole, const PurchasePart& part, PurchasePlan plan);

} // namespace lotwort::plan
