// A brew with all that its reconciliation needs, from the ledger.
#pragma once

#include "brew_shared.hpp"
#include <lotwort/infer/reconcile.hpp>
#include <map>

namespace lotwort::cli {

using LotBook = std::map<std::string, UsedLot>; // by code

[[nodiscard]] LotBook lot_book(const std::vector<LotState>& lots, const Book& book);
// Only the lots of one brew.
[[nodiscard]] LotBook lots_of(const Ledger& ledger, const Brew& brew, const Book& book);

[[nodiscard]] ReconcileInput reconcile_input(const Brew& brew, const Book& book, const LotBook& lots);

} // namespace lotwort::cli
