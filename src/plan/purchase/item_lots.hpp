// One item of a purchase case by itself: its uses, supplies and chances to buy, counted in whole parts of a pack.
#pragma once

#include "lots.hpp"

namespace lotwort::plan {

struct MadeItem {
    LotItem item;
    std::vector<std::size_t> sources; // by chance: of PurchaseModel::sources
    bool ages = false;                // it counts for less as it gets older
};

struct LotsCounted {
    // Where only so much of what is left counts, that counts at this share of the best that may be left. Beside it
    // all that is left counts at what it is worth beyond. 0: as if all counted. Any share bounds; which does best is
    // tried.
    double left = 0.0;
    // careful: nothing is bought that spoils before what came earlier is used, safety stock or not
    bool before_spoilt = false;
};

[[nodiscard]] MadeItem make_item(const PurchaseCase& wanted, const PurchaseModel& model, const std::string& name,
                                 LotsFor what, LotsCounted counted = {});

} // namespace lotwort::plan
