// Answers in a sentence each, as one brewer tells another.
#pragma once

#include "solve.hpp"

namespace lotwort::plan {

// "one, two and three"
[[nodiscard]] std::string listed(const std::vector<std::string>& parts);

// "take 910 g of PSM-1, pilsner malt, for the missing 920 g of pale malt"; by brew where there are several.
[[nodiscard]] std::string takes_sentence(const SubstitutionCase& c, const Solved& solved);

// What the answer leaves to be got is said with what it takes.
[[nodiscard]] std::string with_to_get(std::string takes, const SubstituteAnswer& answer);

// Of all brews the answer has an effect on, after what it does.
[[nodiscard]] std::string with_effects(std::string what, const SubstituteAnswer& answer,
                                       const std::map<std::string, Effect>& meant);

[[nodiscard]] std::string as_sentence(std::string text); // with a capital and a full stop

} // namespace lotwort::plan
