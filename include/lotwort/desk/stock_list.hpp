// The stock as the list shows it: rows of lots sorted and, by item, added up.
#pragma once

#include <lotwort/report/stock.hpp>
#include <lotwort/store/ledger.hpp>
#include <optional>
#include <vector>

namespace lotwort {

struct StockChoice {
    bool by_lot = false;
    bool all = false; // lots with nothing on hand too
    std::optional<std::string> item;
};

// Kinds in the order of ItemKind, then items by name, then lots by best before (those without last) and code.
[[nodiscard]] report::StockList stock_list(std::vector<StockRow> rows, const StockChoice& choice, Date today,
                                           std::string currency);

} // namespace lotwort
