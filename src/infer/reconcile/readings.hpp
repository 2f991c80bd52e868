// What was read of a brew, as equations.
#pragma once

#include "brew_model.hpp"
#include <string_view>

namespace lotwort::infer_detail {

// Readings set aside are left out; liquor in numbered parts and numbered runnings are brought together. What cannot be
// is kept as such.
void add_readings(const ReconcileInput& in, const Kit& kit, std::size_t brew, BrewModel& model);

// Whether the model has a reading of that quantity; `kind` is volume, mass or gravity, empty for any.
[[nodiscard]] bool is_read(const BrewModel& model, std::size_t brew, std::size_t mash, Quantity quantity,
                           std::string_view kind = {});

} // namespace lotwort::infer_detail
