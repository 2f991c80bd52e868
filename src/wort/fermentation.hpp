// The check that every figure of fermented beer makes.
#pragma once

#include "range.hpp"
#include <lotwort/core/quantity.hpp>

namespace lotwort::wort {

inline void require_fermentation(Plato original, Plato left, const std::string& which) {
    require_range(original.value(), 0.0, 35.0, "original extract in Plato");
    require_range(left.value(), least_plato, original.value(), which + " extract in Plato");
}

} // namespace lotwort::wort
