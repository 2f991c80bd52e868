// What an answer does to the beer and to the purse.
#pragma once

#include <lotwort/plan/substitute.hpp>

namespace lotwort::plan {

// Fills effect, cost and what is to be said of each stand-in.
void add_effects(const SubstituteRequest& request, SubstituteAnswer& answer, const std::vector<Nominal>& nominal);

// What the recipe as it stands would come to.
[[nodiscard]] Effect recipe_effect(const SubstituteRequest& request, const Nominal& nominal);

} // namespace lotwort::plan
