// Readings of a brew in a file that the ledger does not hold yet.
#pragma once

#include "differences.hpp"
#include <lotwort/brew/brew.hpp>
#include <vector>

namespace lotwort {

// A reading whose id somebody chose is the ledger's reading of that id. The others (r1, r2, ... are numbers
// that were given by place) are found again by their figures, each once; a reading that has been set aside
// in the ledger since is still the same. A new one whose number is taken gets the next free one. Adds a line
// to `conflicts`, beginning with `prefix`, for each figure in which a reading differs from the ledger's.
[[nodiscard]] std::vector<Reading> new_readings(const Brew& file, const Brew& ledger, const Prefix& prefix,
                                                FaultLines& conflicts);

} // namespace lotwort
