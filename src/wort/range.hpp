// The checks every function on quantities makes, and their one wording.
#pragma once

#include <lotwort/core/error.hpp>
#include <lotwort/wort/density.hpp>
#include <string>
#include <string_view>

namespace lotwort::wort {

// Shortest text that a person needs: up to six significant digits, no trailing zeros.
[[nodiscard]] std::string number(double value);

// Error(refused) unless least <= value <= most; NaN is outside. `what` names the quantity with its unit.
void require_range(double value, double least, double most, std::string_view what);

void require_extract(Plato extract);
void require_temperature(Celsius at);

// The extract whose measure is y: y is first held against the measures of the least and most extract. what() names the
// measure; it is asked only where there is something to refuse.
template <class Measure, class Solve, class What>
[[nodiscard]] Plato plato_in_range(double y, Measure&& measure, Solve&& solve, What&& what) {
    const double least = measure(least_plato / 100.0), most = measure(most_plato / 100.0);
    if (!(y >= least && y <= most)) require_range(y, least, most, what());
    return Plato(100.0 * solve(y));
}

} // namespace lotwort::wort
