// The answers of `lotwort count` and `lotwort discard`: what was on hand, what was booked, what is left.
#pragma once

#include <lotwort/report/booked.hpp>
#include <lotwort/stock/lot.hpp>
#include <lotwort/stock/movement.hpp>
#include <string>

namespace lotwort::report {

struct StockChange {
    Lot lot;
    Amount before; // on hand at the end of that day, as booked until now
    Movement movement;
    Amount promised; // to open plans
    Booked booked;
    [[nodiscard]] Amount after() const { return before + movement.change; }
};

[[nodiscard]] std::string count_text(const StockChange& change);
[[nodiscard]] std::string count_json(const StockChange& change); // lotwort/count/1
[[nodiscard]] std::string discard_text(const StockChange& change);
[[nodiscard]] std::string discard_json(const StockChange& change); // lotwort/discard/1

} // namespace lotwort::report
