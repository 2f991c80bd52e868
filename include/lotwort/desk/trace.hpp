// All that was made of lots, as the ledger tells it.
#pragma once

#include <lotwort/report/trace.hpp>
#include <lotwort/store/ledger.hpp>
#include <map>
#include <string>
#include <vector>

namespace lotwort {

// A lot's movements that stand, each with the recipe of its brew; `recipes` keeps those that were read.
[[nodiscard]] report::TracedLot trace_lot(Ledger& ledger, LotState state, std::map<std::string, std::string>& recipes);

// The nearest first, the lots themselves left out (brew/follow.hpp). A brew that gave all of a lot back has none of it.
[[nodiscard]] std::vector<report::Reached> reached_from(Ledger& ledger, const std::vector<std::string>& lots,
                                                        std::map<std::string, std::string>& recipes);

} // namespace lotwort
