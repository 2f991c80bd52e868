// The stock's worth as the ledger tells it (stock/worth.hpp): one rule for every verb that shows money.
#pragma once

#include <lotwort/stock/worth.hpp>
#include <lotwort/store/ledger.hpp>
#include <vector>

namespace lotwort {

// It reads of the ledger, which outlives it.
[[nodiscard]] LotValues values_in(Ledger& ledger);

// Rows and lots at the price that lots made of others have by what these lost.
void put_prices(std::vector<StockRow>& rows, Ledger& ledger);
void put_prices(std::vector<LotState>& lots, Ledger& ledger);

} // namespace lotwort
