// What a brew cost by what went in.
#pragma once

#include <lotwort/brew/brew.hpp>
#include <lotwort/report/brew.hpp>
#include <lotwort/store/ledger.hpp>

namespace lotwort::cli {

// Each lot's share of its price, of what went in and did not come back; lots without a price are named. `lots` holds
// those of the brew's additions by code.
[[nodiscard]] report::BrewCost brew_cost(const Brew& brew, const std::map<std::string, Lot>& lots,
                                         std::string currency);

} // namespace lotwort::cli
