// Good order days of a long case: which days to order on, by trying others.
#pragma once

#include "lots.hpp"
#include <functional>

namespace lotwort::plan {

// Orders that are open cost what they cost; each item then takes what is best for it, exactly. Days are added, dropped
// and moved as long as that pays.
class OrderSearch {
public:
    explicit OrderSearch(const JointLots& lots);

    // Evenly spaced orders, the spacing tried out supplier by supplier.
    void begin();
    // Until no single change is better, or `stop`.
    // From these prices on each item pays its part of the orders that it came with, and all of one that nobody else
    // placed: so they come to share. The best of so many rounds; what was before is given up.
    void share(const std::vector<std::vector<ChanceTerms>>& prices, int rounds);
    void improve(const std::function<bool()>& stop);
    struct Days {
        std::vector<bool> open;  // by order
        std::vector<double> off; // share of the price by which items are led to the order: none pays less for it
    };
    // From these orders on instead.
    void set(const Days& days);
    void set(const std::vector<bool>& open);
    [[nodiscard]] Days days() const { return {open_, off_}; }
    void shake(unsigned seed, int changes);

    [[nodiscard]] double cost() const { return cost_; } // infinite: uses cannot be met with these orders
    [[nodiscard]] const std::vector<bool>& open() const { return open_; }
    [[nodiscard]] const std::vector<LotChoice>& choices() const { return choices_; }
    [[nodiscard]] const std::vector<std::vector<ChanceTerms>>& terms() const { return terms_; }

private:
    bool try_change(const std::vector<std::size_t>& orders, const std::function<void(std::size_t)>& change);
    bool turn(const std::vector<std::size_t>& orders);
    bool lead(std::size_t order);
    void set_terms(std::size_t order);
    void evaluate(const std::vector<std::size_t>& items);
    void close_unused();
    [[nodiscard]] double together() const;
    [[nodiscard]] double goods_of(std::size_t order) const;

    const JointLots& lots_;
    LotSizer sizer_;
    std::vector<std::vector<ChanceTerms>> terms_;
    std::vector<bool> open_;
    std::vector<double> off_;
    std::vector<LotChoice> choices_;
    std::vector<std::vector<std::size_t>> of_supplier_; // orders by day
    double cost_ = no_limit;
};

// All pay alike, and less than the whole.
[[nodiscard]] std::vector<std::vector<ChanceTerms>> first_prices(const JointLots& lots);

} // namespace lotwort::plan
