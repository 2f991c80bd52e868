// The check that every figure of fermented beer makes.
#pragma once

#include "range.hpp"
#include <lotwort/core/quantity.hpp>

namespace lotwort::wort {

// which: "apparent extract in Plato" or the real one.
inline void require_fermentation(Plato original, Plato left, std::string_view which) {
    require_range(original.value(), 0.0, 35.0, "original extract in Plato");
    require_range(left.value(), least_plato, original.value(), which);
}

} // namespace lotwort::wort
