// What a brew was given in the fermenter that counts in its strength.
#pragma once

#include <lotwort/infer/reconciliation.hpp>
#include <lotwort/wort/late_extract.hpp>
#include <vector>

namespace lotwort {

// Sugars added at the stages fermenter and dry, and fruit, juice and the like (items of kind other) of which an extract
// is stated; what primed packages is theirs. Nothing where the brew shares its fermenter: whose it is cannot be told.
// The pointers are into input.
[[nodiscard]] std::vector<const Addition*> given_late(const ReconcileInput& input);
std::vector<const Addition*> given_late(const ReconcileInput&&) = delete;

// Those of them that went in on a day after the final gravity was last read: that reading says nothing of them.
[[nodiscard]] std::vector<const Addition*> given_since_read(const ReconcileInput& input);
std::vector<const Addition*> given_since_read(const ReconcileInput&&) = delete;

// All that was given late and was in the beer when its final gravity was read.
[[nodiscard]] wort::LateExtract late_extract(const ReconcileInput& input);

} // namespace lotwort
