// An answer as plans: what each brew would reserve.
#pragma once

#include <lotwort/plan/substitute.hpp>

namespace lotwort::plan {

// The brew on the day and at the size that the answer gives it.
[[nodiscard]] BrewToFill as_answered(const BrewToFill& brew, const SubstituteAnswer& answer);

// adopted_plan of every brew, in the order of the request.
[[nodiscard]] std::vector<Plan> adopted_plans(const SubstituteRequest& request, const SubstituteAnswer& answer);

} // namespace lotwort::plan
