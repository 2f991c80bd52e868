// One reading as an equation: what was read, by what, with which uncertainty.
#pragma once

#include "brew_model.hpp"
#include <optional>

namespace lotwort::infer_detail {

// None for a point that takes no part in the balance (the finished beer).
[[nodiscard]] std::optional<Quantity> quantity_of(ReadingPoint point);
[[nodiscard]] bool is_liquor(Quantity quantity);

// The volume (or depth, or mass) side of a reading, and its gravity side; none where it has none. What the instrument's
// stated correction adds is in `observed`. Error(refused) for an unknown instrument or a depth outside the dip table.
[[nodiscard]] std::optional<BrewEquation> volume_equation(const ReconcileInput& in, const Reading& r,
                                                          Quantity quantity);
[[nodiscard]] std::optional<BrewEquation> gravity_equation(const ReconcileInput& in, const Reading& r,
                                                           Quantity quantity);

} // namespace lotwort::infer_detail
