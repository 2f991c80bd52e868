// Open plans as what substitutions are sought for.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/plan/substitute.hpp>

namespace lotwort {

// The plans as the library wants them, with the lots as they would be without what these plans reserve: what other
// plans were promised stays promised. Masses are learned of each plan's brewhouse.
[[nodiscard]] plan::SubstituteRequest substitute_request(const Desk& desk, const Book& book,
                                                         const std::vector<Plan>& plans);

// What of these plans' reservations counts, and what they lack beside: of the book's open plans the earlier have
// theirs.
[[nodiscard]] std::vector<plan::PlanAsItStands> plans_as_they_stand(const Book& book, const std::vector<LotState>& lots,
                                                                    const std::vector<Plan>& plans);

// A sentence for each line of these plans that lacks only until an order comes that is due by their day.
[[nodiscard]] std::vector<std::string> due_by_then(const Book& book, const std::vector<LotState>& lots,
                                                   const std::vector<Plan>& plans);

} // namespace lotwort
