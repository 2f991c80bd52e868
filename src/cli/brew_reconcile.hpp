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

// The brew by itself.
[[nodiscard]] ReconcileInput reconcile_input(const Brew& brew, const Book& book, const LotBook& lots);

// All brews that were run into this one's fermenter, itself among them, in that order: the first, then by day.
[[nodiscard]] std::vector<const Brew*> fermenter_of(const Brew& brew, const std::vector<Brew>& brews);
std::vector<const Brew*> fermenter_of(const Brew&, const std::vector<Brew>&&) = delete;

// The brew with those of its fermenter.
[[nodiscard]] ReconcileInput tied_input(const Brew& brew, const std::vector<Brew>& brews, const Book& book,
                                        const LotBook& lots);

} // namespace lotwort::cli
