// The answers of `lotwort count` and `lotwort discard`: what was on hand, what was booked, what is left.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/report/booked.hpp>
#include <lotwort/stock/lot.hpp>
#include <lotwort/stock/movement.hpp>
#include <lotwort/store/ledger.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

struct StockChange {
    Lot lot;
    Amount before; // on hand at the end of that day, as booked until now
    Movement movement;
    Amount promised; // to open plans
    Booked booked;
    std::optional<Money> worth = std::nullopt; // of the change at cost, without its sign
    std::string currency = {};
    [[nodiscard]] Amount after() const { return before + movement.change; }
};

[[nodiscard]] std::string count_text(const StockChange& change);
[[nodiscard]] std::string count_json(const StockChange& change); // lotwort/count/1

// The sheet to take through the store: every lot with what is booked, and room for what is there.
[[nodiscard]] std::string count_sheet(const std::vector<StockRow>& rows, Date today);
[[nodiscard]] std::string count_sheet_csv(const std::vector<StockRow>& rows);

// A sheet that came back filled in: its lots in its order, and those that nobody counted.
struct CountedLot {
    Lot lot;
    Amount booked;
    Amount counted;
    std::string reason;         // empty where it is as booked
    std::optional<Money> worth; // of the difference at cost, with its sign; none where no price is known
};
struct SheetCount {
    std::vector<CountedLot> rows;
    std::vector<std::string> not_counted;
    std::string currency;
    Booked booked;
};
[[nodiscard]] std::string sheet_count_text(const SheetCount& count);
[[nodiscard]] std::string sheet_count_csv(const SheetCount& count);
[[nodiscard]] std::string sheet_count_json(const SheetCount& count); // lotwort/count/1: "lots"
[[nodiscard]] std::string discard_text(const StockChange& change);
[[nodiscard]] std::string discard_json(const StockChange& change); // lotwort/discard/1

} // namespace lotwort::report
