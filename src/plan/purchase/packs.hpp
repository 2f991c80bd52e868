// Packs that are known, put into the model: what serves what is a linear programme then.
#pragma once

#include "model.hpp"

namespace lotwort::plan {

using PacksOf = std::function<int(const PurchaseSource&)>; // of a source that is bought

// Of each of so many packs of one order.
[[nodiscard]] double step_price(const PurchaseOffer& offer, int packs);

// The model's programme with these packs alone, orders without goods closed, and nothing left that is whole.
[[nodiscard]] Mip with_packs(const PurchaseCase& wanted, const PurchaseModel& model, const PacksOf& packs_of);

} // namespace lotwort::plan
