// What a purchase plan costs brew by brew, and what a pack more or less would cost.
#pragma once

#include <lotwort/plan/purchase_demand.hpp>

namespace lotwort::plan {

struct BrewPurchaseCost {
    std::string brew;
    Date date;
    double from_stock = 0.0, bought = 0.0, delivery = 0.0;
    bool unpriced = false; // some of it comes of lots that state no price: they count nothing
    [[nodiscard]] double sum() const { return from_stock + bought + delivery; }
};

// Each brew pays for what it uses, at what it cost, and its share of the deliveries. A delivery is shared by the
// value of what of its order is used at all. `lots` and `orders` are the wish's, for the price of what is there or on
// its way.
[[nodiscard]] std::vector<BrewPurchaseCost> cost_by_brew(const PurchaseWish& wish, const DrawnPurchase& drawn,
                                                         const PurchasePlan& plan);

// The best plan with one pack more, or one less, of an offer than the plan buys.
struct PackChange {
    std::size_t offer = 0; // of the case
    int packs = 0;         // as planned, over all orders
    int change = 0;        // +1 or -1
    std::optional<double>
        costs; // more than the plan (negative: saves, within its gap); none: it would leave a need unmet
};

// Two searches for each offer that the plan buys of, each within the limits. Where a limit ended one before an answer,
// that change is left out.
[[nodiscard]] std::vector<PackChange> pack_changes(const PurchaseCase& wanted, const PurchasePlan& plan,
                                                   const MipOptions& limits);

} // namespace lotwort::plan
