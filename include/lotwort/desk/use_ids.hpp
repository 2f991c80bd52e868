// The ledger's names for what went into a brew.
#pragma once

#include <lotwort/brew/brew.hpp>
#include <lotwort/store/ledger.hpp>
#include <string>
#include <vector>

namespace lotwort {

// The ids of the movements by which the brew's additions were booked, in the additions' order: what a reversal names.
// The brew is as the ledger has it now; of equal additions each has its own.
[[nodiscard]] std::vector<std::string> use_ids(const Ledger& ledger, const Brew& brew);

} // namespace lotwort
