// The answers of `lotwort order`: what is on order, of whom, and how much of it has come.
#pragma once

#include <lotwort/report/booked.hpp>
#include <lotwort/stock/order_rest.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

struct ShownOrder {
    Order order;
    std::vector<OrderRest> rests; // of the lines that state a pack
    bool is_open = true;
};

struct OrderList {
    std::vector<ShownOrder> orders;
    std::string currency;
    Date today;
    bool whole = false; // lines of which all has come too
    const Booked* booked = nullptr;
    std::vector<std::string> says{};
};

[[nodiscard]] std::string order_text(const OrderList& list);
[[nodiscard]] std::string order_csv(const OrderList& list);  // a row a line
[[nodiscard]] std::string order_json(const OrderList& list); // lotwort/order/1

} // namespace lotwort::report
