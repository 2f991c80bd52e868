// Masses that were reckoned, as they are told.
#pragma once

#include <lotwort/stock/movement.hpp>

namespace lotwort {

// A mass to the nearest gram; any other amount as it is.
[[nodiscard]] constexpr Amount to_the_gram(Amount amount) {
    constexpr std::int64_t gram = 1000; // milligrams
    return amount.measure == Measure::mass ? Amount{amount.measure, (amount.units + gram / 2) / gram * gram} : amount;
}

} // namespace lotwort
