// The answer of `lotwort statement`: a period's books of stock and of beer.
#pragma once

#include <lotwort/stock/statement.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::report {

// Beer by month, in whole hundredths of a litre at 20 °C, so that
// opening + brewed - packaged - lost = in tanks, as the figures are printed.
struct BeerMonth {
    Date from, to; // both belong to it
    int brews = 0, runs = 0;
    Amount opening{Measure::volume, 0}, brewed{Measure::volume, 0}, packaged{Measure::volume, 0},
        lost{Measure::volume, 0}, in_tanks{Measure::volume, 0};
    std::optional<double> original_plato; // mean of what was brewed, by volume
    std::optional<double> packaged_abv;   // mean of what was packaged, by volume
};

struct Statement {
    Date from, to;
    std::string currency;
    std::int64_t entries = 0; // up to the entry of this number
    StockBooks books;
    std::vector<StockAccount> kinds;
    std::vector<BeerMonth> beer; // none where there is no beer to tell of
    Money freight_beside; // of what was received: in no lot's price, and borne by the brews
    std::vector<std::string> says;
};

// At most 24 lines, by kind; `full`: by item.
[[nodiscard]] std::string statement_text(const Statement& statement, bool full);
[[nodiscard]] std::string statement_csv(const Statement& statement);  // a line an item
[[nodiscard]] std::string statement_json(const Statement& statement); // lotwort/statement/1
[[nodiscard]] std::string statement_page(const Statement& statement);

// The same as a double-entry journal in plain text: the opening, each movement, and the closing as a check. Money is in
// the postings that balance, amounts in brackets beside them.
// Freight that stands in no lot's price is a comment there.
[[nodiscard]] std::string statement_journal(const Statement& statement);

} // namespace lotwort::report
