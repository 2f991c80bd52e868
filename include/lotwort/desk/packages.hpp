// Runs of packages as the ledger tells them: what is in them, and what is left in the fermenter they came out of.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/report/package.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// A run as it is shown. `primed_now`: what it is about to be primed with, where the ledger does not say so yet.
[[nodiscard]] report::ShownPackage shown_package(Ledger& ledger, const Book& definitions, const Package& package,
                                                 const std::vector<Addition>& primed_now = {});

// By the last volume read in the fermenter of the last brew that ran into it, else as the finished beer. `more` is
// about to be packaged.
[[nodiscard]] report::BeerLeft beer_left(Ledger& ledger, const Book& definitions, const std::string& brew,
                                   const std::optional<Package>& more = {});

// Gas for each gram of so much of a lot: g of extract that yeast takes. 0 of what is no sugar or malt.
[[nodiscard]] double fermentable_g(const Item& item, const Lot& lot, Amount amount, Date on);

} // namespace lotwort
