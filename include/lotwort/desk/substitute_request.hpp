// Open plans as what substitutions are sought for.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/plan/substitute.hpp>

namespace lotwort {

// The open plans with these codes, or all that are still to come, by day. Error(refused) for a plan that is not open,
// or whose day has passed; Error(usage) for one that is named twice.
[[nodiscard]] std::vector<Plan> plans_to_fill(const Desk& desk, const Book& book,
                                              const std::vector<std::string>& codes);

// The plans as the library wants them, with the lots as they would be without what these plans reserve: what other
// plans were promised stays promised. Masses are learned of each plan's brewhouse.
[[nodiscard]] plan::SubstituteRequest substitute_request(const Desk& desk, const Book& book,
                                                         const std::vector<Plan>& plans);

// A sentence for each line of these plans that lacks only until an order comes that is due by their day.
[[nodiscard]] std::vector<std::string> due_by_then(const Book& book, const std::vector<LotState>& lots,
                                                   const std::vector<Plan>& plans);

// What the learning behind the forecasts has to say.
[[nodiscard]] std::vector<std::string> learned_remarks(const plan::SubstituteRequest& request);

} // namespace lotwort
