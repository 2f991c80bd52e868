// What a delivery fills of an order, and how it differs from what was ordered.
#pragma once

#include "shared.hpp"

namespace lotwort::verbs {

// Error(refused) for a code nobody knows, and for an order of which nothing more is awaited.
[[nodiscard]] Order open_order(const Book& book, const std::string& code, const std::vector<LotState>& lots);

// What was ordered of the item, over all lines: amount and money, freight and discount in it (stock/order_rest.hpp); none
// where no line is of it.
struct OrderedItem {
    Amount amount;
    Money cost;
};
[[nodiscard]] std::optional<OrderedItem> ordered_of(const Order& order, const std::string& item);

// The price of so much as ordered, after what came before it: what comes in parts costs what it does in one.
[[nodiscard]] Money price_as_ordered(const OrderedItem& ordered, Amount amount, Amount before);

// What has come of the item.
[[nodiscard]] Amount came_of(const Order& order, const std::string& item, Measure measure,
                             const std::vector<LotState>& lots);

// Sentences: what came of how much, what is awaited still, what it cost more or less, days late. `came`: the delivery's
// lots, which order.received does not name yet.
[[nodiscard]] std::vector<std::string> differences(const Order& order, const std::vector<LotState>& before,
                                                   const std::vector<Lot>& came, const std::string& currency);

// Sentences: of which orders what is awaited again, once so much of the lot has gone back to its supplier, and how that
// is ended.
[[nodiscard]] std::vector<std::string> awaited_again(const Book& book, std::vector<LotState> lots,
                                                     const std::string& lot, Amount returned);

// The orders that were due before today and are open still: "order O1 of Hillside was due on 2026-03-09, 1 day ago:
// ...".
[[nodiscard]] std::vector<std::string> overdue(const Book& book, const std::vector<LotState>& lots, Date today);

} // namespace lotwort::verbs
