// The answer of `lotwort buy`: orders, what they are for, what is late, money.
#pragma once

#include <lotwort/plan/purchase_cost.hpp>
#include <lotwort/plan/purchase_purpose.hpp>
#include <lotwort/report/booked.hpp>

namespace lotwort::report {

struct ShownPurchase {
    const plan::PurchaseWish* wish = nullptr;
    const plan::DrawnPurchase* drawn = nullptr;
    const plan::PurchasePlan* plan = nullptr; // the whole of it
    std::vector<Order> orders;                // as they would be booked: the first of the plan's, all unless `until`
    std::optional<Date> until;                // only what must be ordered by then is shown
    std::vector<plan::BrewPurchaseCost> brews;
    std::vector<plan::PackChange> changes; // where they were asked for
    std::vector<plan::PurchasePurpose> purposes;
    std::vector<plan::PurchaseFill> fills;
    std::string currency;
    std::string asked; // what the plan was told to keep to: "without Hillside, within the budget"
    bool full = false;              // what it costs and each brew's share too, however many lines
    std::string next;               // what to type next; empty: nothing
    const Booked* booked = nullptr; // with --order
};

[[nodiscard]] std::string buy_text(const ShownPurchase& shown);
[[nodiscard]] std::string buy_csv(const ShownPurchase& shown);               // a row for each order line
[[nodiscard]] std::string buy_json(const ShownPurchase& shown);              // lotwort/buy/1
[[nodiscard]] std::string buy_list(const ShownPurchase& shown, bool prices); // plain text, to send to each supplier

} // namespace lotwort::report
