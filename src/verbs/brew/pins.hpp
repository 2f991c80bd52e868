// The lots that a plan is to take before others.
#pragma once

#include <lotwort/stock/lot.hpp>
#include <lotwort/stock/reserve.hpp>
#include <lotwort/verbs/call.hpp>
#include <vector>

namespace lotwort::verbs {

// What --pin says: LOT, or LOT=AMOUNT. Error(refused) for an unknown lot, one named twice, an amount of the wrong
// measure.
[[nodiscard]] std::vector<Pin> parse_pins(const Call& call, const std::vector<LotState>& lots);

} // namespace lotwort::verbs
