// A sum of money shared out so that the parts make the sum, to the last hundredth.
#pragma once

#include <cstdint>
#include <vector>

namespace lotwort {

// sum * weight / all weights, each rounded down, and the hundredths that are left to those whose parts lost most by it
// (largest remainder; of equals the first). Equal parts where all weights are 0; nothing of nothing. Neither the sum
// nor a weight may be below 0.
[[nodiscard]] std::vector<std::int64_t> shared_out(std::int64_t sum, const std::vector<std::int64_t>& weights);

} // namespace lotwort
