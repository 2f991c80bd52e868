// A brew with all that its reconciliation needs, from the ledger.
#pragma once

#include <lotwort/desk/names.hpp>
#include <lotwort/infer/reconcile.hpp>
#include <map>
#include <unordered_map>

namespace lotwort {

using LotBook = std::map<std::string, UsedLot>; // by code

[[nodiscard]] LotBook lot_book(const std::vector<LotState>& lots, const Book& book);
// Only the lots of one brew.
[[nodiscard]] LotBook lots_of(const Ledger& ledger, const Brew& brew, const Book& book);

// The brew by itself.
[[nodiscard]] ReconcileInput reconcile_input(const Brew& brew, const Book& book, const LotBook& lots);

// Which brews were run into one fermenter. Of brews that outlive it.
class Fermenters {
public:
    explicit Fermenters(const std::vector<Brew>& brews);
    explicit Fermenters(const std::vector<Brew>&&) = delete;
    // All of this one's fermenter, itself among them, in that order: the first, then by day.
    [[nodiscard]] const std::vector<const Brew*>& of(const Brew& brew) const;

private:
    std::vector<std::vector<const Brew*>> all_;
    std::unordered_map<std::string, std::size_t> of_; // by code, place in all_
};

// The brew with those of its fermenter; by itself where they are more than most_in_fermenter.
[[nodiscard]] ReconcileInput tied_input(const Brew& brew, const Fermenters& fermenters, const Book& book,
                                        const LotBook& lots);

} // namespace lotwort
