// An order as it goes to the supplier: what, how much, in which packs, and the day it is wanted.
#pragma once

#include <lotwort/report/order.hpp>

namespace lotwort::report {

struct OrderLetter {
    ShownOrder shown; // of what has come already, only the rest is asked for
    std::string currency;
    std::optional<Money> delivery; // what is to pay for it; shown with prices
    bool prices = false;           // what a pack and all of it costs, too
};

[[nodiscard]] std::string order_letter_text(const OrderLetter& letter);
[[nodiscard]] std::string order_letter_page(const OrderLetter& letter); // HTML, one page of paper

} // namespace lotwort::report
