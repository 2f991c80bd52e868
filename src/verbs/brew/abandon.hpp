// A brew that was begun and is given up.
#pragma once

#include "brew_change.hpp"

namespace lotwort::verbs {

// Of --abandon REASON: what was weighed and is not said to be gone (--used LOT=AMOUNT) comes back into stock.
// Error(refused) where it was given up before, where more is said to be gone than went in, and where the brew has
// readings and nothing is said to be gone.
[[nodiscard]] BrewChange abandon_brew(Call& call, const std::vector<LotState>& lots, const Brew& brew);

} // namespace lotwort::verbs
