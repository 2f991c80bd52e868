// What an answer makes of a brew that is asked for.
#pragma once

#include <lotwort/plan/substitute.hpp>

namespace lotwort::plan {

// The brew on the day and at the size that the answer gives it.
[[nodiscard]] BrewToFill as_answered(const BrewToFill& brew, const SubstituteAnswer& answer);

} // namespace lotwort::plan
