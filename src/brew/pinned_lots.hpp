// Lots that the brewer pins to a plan: what is asked of them, before and after the plan is drawn up.
#pragma once

#include <lotwort/brew/planned.hpp>

namespace lotwort {

// Error(refused, shortage) where a pin cannot be kept whatever the plan comes to.
void demand_pins(const PlanRequest& request, const std::vector<PlannedLine>& lines);

// Error(refused) where the plan takes less of a pinned lot than was asked for.
void demand_pins_taken(const PlanRequest& request, const std::vector<PlannedLine>& lines);

// "PAM-2, which was named, was best before 2026-02-01"
[[nodiscard]] std::vector<std::string> pin_remarks(const PlanRequest& request);

} // namespace lotwort
