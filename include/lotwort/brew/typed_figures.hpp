// What was typed on one of several scales, on the one that is kept.
#pragma once

#include <lotwort/core/typed.hpp>

namespace lotwort {

// A malt's colour (wort/colour.hpp).
[[nodiscard]] Ebc malt_ebc(const TypedColour& colour);

// A recipe's target: true SG 20/20 (gravity_of of recipe_gravity.hpp). Error(refused) for Brix, which no recipe is
// written in: a refractometer's factor stands between.
[[nodiscard]] SpecificGravity target_gravity(const TypedGravity& gravity);

} // namespace lotwort
