// What the final gravity makes of the balance: attenuation and alcohol.
#pragma once

#include "equations.hpp"

namespace lotwort::infer_detail {

// Where a final gravity was read by a hydrometer, adds to the quantities final_gravity_sg, apparent_attenuation_pct and
// alcohol_abv_pct, from it and the balanced original gravity, their errors taken as independent; a gravity that is not
// below the original gives neither, and says so in `beyond_original`. A gravity that neither wort nor beer has takes no
// part, and is returned.
[[nodiscard]] std::optional<ImpossibleReading> add_final_beer(const ReconcileInput& input, Reconciliation& out);

} // namespace lotwort::infer_detail
