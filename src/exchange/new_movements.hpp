// Movements of a file that the ledger does not hold yet.
#pragma once

#include <lotwort/stock/movement.hpp>
#include <vector>

namespace lotwort {

// Movements are told apart by what they say; ids only tie those of one file together. A movement stated
// twice is two movements. What is new keeps its id, or gets another where the ledger uses it; what it
// reverses is named by the id that the ledger knows.
[[nodiscard]] std::vector<Movement> new_movements(const std::vector<Movement>& file,
                                                  const std::vector<Movement>& ledger);

} // namespace lotwort
