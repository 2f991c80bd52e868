// Which open plans lose what by a booking that nothing free makes good, and what to do about each.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/report/booked.hpp>
#include <vector>

namespace lotwort {

// The command that plans an open plan again: on its day, while that is to come.
[[nodiscard]] std::string planned_again(const Plan& plan, Date today);

// Of a part that is not booked yet, by day of the plans.
[[nodiscard]] std::vector<report::LostPlan> promises_lost(const Desk& desk, const Book& part);

} // namespace lotwort
