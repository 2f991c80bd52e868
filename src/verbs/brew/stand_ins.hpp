// Weighed in place of what lacks, and what it makes of the beer.
#pragma once

#include "shared.hpp"
#include <lotwort/brew/brew_day.hpp>
#include <map>

namespace lotwort::verbs {

// By line of `wanted`: what notes of other items count as of its own, where the line has too little
// (plan/stand_in.hpp). Each such note is marked with the item it stands in for. A hop that boils another time stands in
// for none.
[[nodiscard]] std::map<int, Amount> mark_stand_ins(const PlannedBrew& planned, const PlannedBrew& wanted,
                                                   const Book& book, const std::vector<LotState>& lots, Date day,
                                                   std::vector<Weighing>& notes);

// The brew as its additions forecast it.
[[nodiscard]] PlannedBrew as_weighed(PlanRequest request, const PlannedBrew& meant,
                                     const std::vector<Addition>& additions);

// The same beside what was meant: "as weighed: gravity 1.0512 instead of 1.0480"; empty
// where a glass would show no difference.
[[nodiscard]] std::string as_weighed_words(const PlanRequest& request, const PlannedBrew& meant,
                                           const std::vector<Addition>& additions);

} // namespace lotwort::verbs
