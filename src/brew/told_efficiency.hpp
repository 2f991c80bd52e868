// The efficiency that a brewer tells of the house, as an observation of all its figures at once.
#pragma once

#include <lotwort/brew/kit.hpp>

namespace lotwort {

// Moves the kit's levels to what the brewhouse states of its efficiency (kit.hpp), if anything.
void draw_to_told_efficiency(const Brewhouse& brewhouse, Kit& kit);

} // namespace lotwort
