// Movements of a file that the ledger does not hold yet.
#pragma once

#include <lotwort/core/fault_lines.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <string_view>
#include <vector>

namespace lotwort {

// Movements are told apart by what they say and by what took them back; ids only tie those of one file
// together. A movement stated twice is two movements. A reversal goes with what it takes back. Adds a line to
// `conflicts`, beginning with `source`, for each movement that the file takes back and that stands in the ledger.
[[nodiscard]] std::vector<Movement> new_movements(const std::vector<Movement>& file,
                                                  const std::vector<Movement>& ledger, std::string_view source,
                                                  const Places& places, FaultLines& conflicts);

} // namespace lotwort
