// A year's purchases with stock carried from use to use, not followed from pack to use: a tenth of the columns.
#pragma once

#include "purchase_model.hpp"

namespace lotwort::plan {

// A relaxation of purchase_model: packs may be parts, what is left at the end is valued no lower, hops count as fresh,
// and what spoils is held against by the stock that can still be good. So no plan costs less than its least, and its
// order days are those of a good plan. uses and `missing` are empty.
[[nodiscard]] PurchaseModel thin_purchase_model(const PurchaseCase& wanted);

// Is the case one that thin_purchase_model can stand for: no stand-ins, no budget, no packs prescribed?
[[nodiscard]] bool can_be_thin(const PurchaseCase& wanted);

// How many columns the full model would have for uses.
[[nodiscard]] std::size_t count_uses(const PurchaseCase& wanted);

} // namespace lotwort::plan
