// Gravities as the brewery says them: specific gravity or degrees Plato.
#pragma once

#include <lotwort/brew/recipe.hpp>
#include <lotwort/core/estimate.hpp>

namespace lotwort {

// The true SG 20/20 of that extract (wort/gravity.hpp), rounded to 1e-6 so that it is written and read alike.
// Error(refused) outside -5 to 95 °P.
[[nodiscard]] SpecificGravity gravity_of(Plato original_extract);

// A difference of degrees Plato, at a gravity, as one of specific gravity: S(p + d) - S(p).
[[nodiscard]] double gravity_difference(Plato difference, SpecificGravity at);

// An estimate of a specific gravity 20/20 in °P: its ends mapped, its sd by the slope. All 0 where it is no gravity, as
// of a forecast without malt.
[[nodiscard]] Estimate in_plato(const Estimate& gravity_sg);

} // namespace lotwort
