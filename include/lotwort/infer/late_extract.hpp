// What a brew was given in the fermenter that counts in its strength.
#pragma once

#include <lotwort/infer/reconciliation.hpp>
#include <lotwort/wort/late_extract.hpp>

namespace lotwort {

// Sugars added at the stages fermenter and dry, and fruit, juice and the like (items of kind other) of which an extract
// is stated; what primed packages is theirs. Nothing where the brew shares its fermenter: whose it is cannot be told.
[[nodiscard]] wort::LateExtract late_extract(const ReconcileInput& input);

} // namespace lotwort
