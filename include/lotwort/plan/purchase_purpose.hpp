// What the packs of a purchase plan are for: the brews, the safety stock, or an order that is to be large enough.
//
// A brewer who is told to buy three sacks for a brew of 60 kg wants to know about the other 15. Some is kept for a
// brew that takes more than its forecast, and some is left of a sack that was needed. A fourth sack may come along
// because delivery is free from there on.
#pragma once

#include <lotwort/plan/purchase_case.hpp>

namespace lotwort::plan {

// One item that is bought. bought = for brews + safety + left.
struct PurchasePurpose {
    std::string item;
    double bought = 0.0;
    double for_brews = 0.0;           // what the planned brews use of it
    double safety = 0.0;              // what the safety stock has of it, at the most, beside what else is there
    double left = 0.0;                // all else
    std::vector<std::string> brews{}; // that use of it, as their days come
};
[[nodiscard]] std::vector<PurchasePurpose> purposes_of(const PurchaseCase& wanted, const PurchasePlan& plan);

enum class FilledFor { minimum_order, free_delivery, lower_price };

// Packs of an order's line that neither brews nor safety stock ask for. Without them the order would be under its
// minimum, bear its delivery charge, or cost more a pack. What they cost now, and what they spare: `saved_later` is
// what the plan counts of them when they are left (their price, aged, as far as a use is foreseen).
struct PurchaseFill {
    std::size_t order = 0, line = 0; // of the plan
    int packs = 0;
    FilledFor what = FilledFor::free_delivery;
    double more_now = 0.0;       // for these packs, less what a lower price takes off the others
    double delivery_saved = 0.0; // told with the order's first fill alone
    double saved_later = 0.0;
};
[[nodiscard]] std::vector<PurchaseFill> fills_of(const PurchaseCase& wanted, const PurchasePlan& plan);

} // namespace lotwort::plan
