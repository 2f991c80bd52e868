// The answer of `lotwort buy`: orders, what is late, money.
#pragma once

#include <lotwort/plan/purchase_cost.hpp>
#include <lotwort/report/booked.hpp>

namespace lotwort::report {

struct ShownPurchase {
    const plan::PurchaseWish* wish = nullptr;
    const plan::DrawnPurchase* drawn = nullptr;
    const plan::PurchasePlan* plan = nullptr;
    std::vector<Order> orders; // as they would be booked, in the plan's order
    std::vector<plan::BrewPurchaseCost> brews;
    std::vector<plan::PackChange> changes; // where they were asked for
    std::string currency;
    std::string next;               // what to type next; empty: nothing
    const Booked* booked = nullptr; // with --order
};

[[nodiscard]] std::string buy_text(const ShownPurchase& shown);
[[nodiscard]] std::string buy_csv(const ShownPurchase& shown);  // a row for each order line
[[nodiscard]] std::string buy_json(const ShownPurchase& shown); // lotwort/buy/1
[[nodiscard]] std::string buy_list(const ShownPurchase& shown); // plain text, to send to each supplier

} // namespace lotwort::report
