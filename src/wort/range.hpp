// The checks every function on quantities makes, and their one wording.
#pragma once

#include <lotwort/core/error.hpp>
#include <lotwort/wort/density.hpp>
#include <string>

namespace lotwort::wort {

// Shortest text that a person needs: up to six significant digits, no trailing zeros.
[[nodiscard]] std::string number(double value);

// Error(refused) unless least <= value <= most; NaN is outside. `what` names the quantity with its unit.
void require_range(double value, double least, double most, const std::string& what);

void require_extract(Plato extract);
void require_temperature(Celsius at);

// The extract whose measure is y: y is first held against the measures of the least and most extract.
template <class Measure, class Solve>
[[nodiscard]] Plato plato_in_range(double y, Measure&& measure, Solve&& solve, const std::string& what) {
    require_range(y, measure(least_plato / 100.0), measure(most_plato / 100.0), what);
    return Plato(100.0 * solve(y));
}

} // namespace lotwort::wort
