// What a brew cost by what went in.
#pragma once

#include <lotwort/brew/brew.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/store/ledger.hpp>

namespace lotwort {

// What its lots lost of their worth by what went in and did not come back (stock/worth.hpp); lots without a price are
// named.
[[nodiscard]] report::BrewCost brew_cost(const Brew& brew, Ledger& ledger);

} // namespace lotwort
