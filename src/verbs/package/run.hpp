// A run of packages as it is typed: 40 bottles 0.5L.
#pragma once

#include "shared.hpp"
#include <lotwort/brew/package.hpp>

namespace lotwort::verbs {

// COUNT and WHAT: how many, of what, with how much in each. Error(usage) where something is missing.
void parse_filled(const Call& call, Package& package);

// --gas: 5g/L, or 2.5vol of the beer's own volume at 0 °C. Error(refused) above what any package is made for.
[[nodiscard]] double parse_gas(const std::string& text);

// So many packages: 12, or all of those that are `there`. Error(usage) where it is no number.
[[nodiscard]] int parse_packages(const std::string& text, int there);

// --prime LOT, or LOT=AMOUNT: what the run is primed with; without an amount, as much as the gas meant asks for.
// Error(refused) for what yeast does not take.
[[nodiscard]] std::vector<Addition> parse_priming(Call& call, const Package& package, const Book& book,
                                                  const std::vector<LotState>& lots);

} // namespace lotwort::verbs
