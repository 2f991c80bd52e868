// A brew's equations with what is known before its own readings: of its instruments, and of the brew itself.
#pragma once

#include "brew_model.hpp"

namespace lotwort::infer_detail {

// What other brews lead to expect (in.elsewhere), or else the instruments' checks. Lasting errors are taken out of
// the readings, and the brew's expectations are those of the others. The uncertainty that is left is shared by all,
// as it is joint. What is new in each brew stays each one's own, and what is shown stays as it was read. Equations of
// a second mash, or of another brew in the fermenter, are expected as they were.
[[nodiscard]] std::vector<BrewEquation> believed(const ReconcileInput& in, std::vector<BrewEquation> equations);
[[nodiscard]] BrewEquation believed(const ReconcileInput& in, const BrewEquation& equation);

} // namespace lotwort::infer_detail
