// A purchase case item by item: what each needs by itself, and the orders that tie them together.
//
// A maltings' lorry costs what it costs, whatever is on it: but for that, each malt could be planned alone, exactly and
// at once (lot_sizing.hpp). So a year is taken apart into items and orders. Orders are tied to items by prices alone:
// what an item has to pay towards the lorry on a day, and what its goods are worth towards free delivery.
#pragma once

#include "lot_sizing.hpp"
#include "model.hpp"

namespace lotwort::plan {

struct LotRef {
    std::size_t item = 0, chance = 0;
};

// One supplier's order of one day that costs something or has a minimum.
struct LotOrder {
    std::string supplier;
    double delivery = 0.0, minimum = 0.0;
    double free_from = 0.0; // 0: never free
    std::vector<LotRef> lines;
};

struct JointLots {
    std::vector<LotItem> items;
    std::vector<std::vector<std::size_t>> source_of; // by item and chance: of PurchaseModel::sources
    std::vector<LotOrder> orders;
    std::vector<std::vector<int>> order_of; // by item and chance; -1: an order that costs nothing
    PurchaseModel model;                    // its sources and groups; no columns
    bool ages = false;                      // is there an item that counts for less as it gets older?
};

// How finely a pack of what ages is counted, and which way it is rounded.
enum class LotsFor {
    bound,      // coarse: for the many steps towards the bound
    fine_bound, // for the bound itself
    search,     // coarse, and careful
    packs       // fine, and careful: for the packs of what the search found
};

// A relaxation where it has to be one (docs/methods/purchase.md). Each need counts at the richest that could serve
// it. What spoils is thrown away whenever that is best. What is left counts as the best that could be left, and packs
// without a common measure are rounded up. So the least cost of all items and orders together is at most that of any
// plan.
//
// For the search, instead, what is bought counts at its poorest over some months, and what is in stock at the poorest
// it comes to. What is chosen then is mostly enough.
[[nodiscard]] JointLots joint_lots(const PurchaseCase& wanted, LotsFor what = LotsFor::bound);

// Can lots stand for the case: no stand-ins, no packs prescribed, no blends? A budget is left out of account.
[[nodiscard]] bool has_lots(const PurchaseCase& wanted);

} // namespace lotwort::plan
