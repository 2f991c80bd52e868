// One item of a purchase case by itself: its uses, supplies and chances to buy, counted in whole parts of a pack.
#pragma once

#include "lots.hpp"

namespace lotwort::plan {

struct MadeItem {
    LotItem item;
    std::vector<std::size_t> sources; // by chance: of PurchaseModel::sources
    bool ages = false;                // it counts for less as it gets older
};

// in_full: what is left counts in full, as far as it counts.
[[nodiscard]] MadeItem make_item(const PurchaseCase& wanted, const PurchaseModel& model, const std::string& name,
                                 LotsFor what, bool in_full = false);

} // namespace lotwort::plan
