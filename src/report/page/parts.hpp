// Parts that several pages show.
#pragma once

#include "chart.hpp"
#include <lotwort/report/pages.hpp>
#include <lotwort/report/table.hpp>
#include <string>
#include <utility>
#include <vector>

namespace lotwort::report {

// The trend of a brewhouse: what to act on, three charts of levels, the lots against their certificates.
[[nodiscard]] std::string trend_parts(const Trend& trend);
// The three charts of levels alone; of at least one brew.
[[nodiscard]] std::string level_charts(const Trend& trend);
// What else many brews taught, as tables.
[[nodiscard]] std::string learned_parts(const Trend& trend);

// Stock cover and the table of items.
[[nodiscard]] std::string stock_parts(const StockPage& page);

// Facts under their names, a row each; those without a value are left out.
[[nodiscard]] std::string facts(const std::vector<std::pair<std::string, std::string>>& named,
                                const std::string& caption);

// A table of the terminal under headings of a page: WENT INTO becomes Went into.
[[nodiscard]] Table as_headings(Table table, std::string_view kept = "");

// "against" as a sentence begins with it: "Against"
[[nodiscard]] std::string capitalised(std::string text);

// "92.6 % (89.0 to 96.2)", of a share
[[nodiscard]] std::string share_said(const Estimate& share);

// "+0.4 % (-1.3 to +2.1)", of a share that something differs by
[[nodiscard]] std::string difference_said(const Estimate& share);

// "4.17 kg (2 %)": a part and what it is of the whole
[[nodiscard]] std::string part_said(double part, double whole, std::string_view unit);

} // namespace lotwort::report
