// What an answer does to the beer and to the purse.
#pragma once

#include "standing.hpp"

namespace lotwort::plan {

// What the plan comes to with nothing missing.
[[nodiscard]] Effect nominal_effect(const SubstituteRequest& request, const StandingBrew& standing);

// One of the answer's plans, booked: `lacking` is still to come by order. Fills lines, effect and what is to be said of
// each stand-in; `changed` says which of the plan's reservations are not those that stood.
void add_plan(const SubstituteRequest& request, const StandingBrew& standing, Plan plan,
              const std::vector<Lacking>& lacking, SubstituteAnswer& answer);

// Once all plans are there.
void add_cost(const SubstituteRequest& request, SubstituteAnswer& answer);

// It is a plan of this brew; nothing reserved.
[[nodiscard]] Plan bare_plan(const BrewToFill& brew);

} // namespace lotwort::plan
