// What no plan of a long case can cost less than: items planned alone, orders paid for by prices.
//
// Each item is asked to pay a share of the delivery on each day it might come. The delivery takes place on the days
// on which the shares together pay it. What all the items then cost, less what the deliveries earn, is at most what
// any plan costs (Lagrangian relaxation). The shares that make it greatest are sought step by step (subgradients,
// Held, Wolfe and Crowder 1974).
#pragma once

#include "lots.hpp"

namespace lotwort::plan {

class OrderPrices {
public:
    explicit OrderPrices(const JointLots& lots);
    // The same case's lots counted otherwise, from the best prices of before on.
    OrderPrices(const JointLots& lots, const OrderPrices& begun);

    // One step towards a better bound, knowing a plan of cost `upper`. False: the uses of some item cannot be met.
    bool step(double upper);

    [[nodiscard]] double bound() const { return best_; } // the greatest so far
    // The prices of the greatest bound.
    [[nodiscard]] const std::vector<std::vector<ChanceTerms>>& terms() const { return best_terms_; }
    [[nodiscard]] bool is_done() const { return pace_ < 1e-2; }

private:
    struct Order {
        double for_minimum = 0.0, for_free = 0.0; // prices, in money
        double goods = 0.0;                       // that items chose
        double share = 0.0;                       // how much of an order items ask for, 0 to 1
    };
    double value();
    [[nodiscard]] double order_value(const LotOrder& order, const Order& now,
                                     const std::vector<std::vector<ChanceTerms>>& terms) const;
    void move(double upper, double value);
    void pay_together(const LotOrder& order, Order& now, double length);

    const JointLots& lots_;
    LotSizer sizer_;
    std::vector<std::vector<ChanceTerms>> terms_, best_terms_;
    std::vector<Order> orders_, best_orders_;
    std::vector<LotChoice> choices_;
    std::vector<std::vector<double>> way_; // direction of the last step, by item and chance
    double best_ = -no_limit;
    double pace_ = 1.0;
    int stale_ = 0;
};

} // namespace lotwort::plan
