// What a ledger has to come, by day.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/report/calendar.hpp>
#include <string_view>
#include <vector>

namespace lotwort {

// Brews and dry hops of open plans, open orders to be placed and to come, and the best before of lots on hand and of
// packages that are here still. From today on, by day.
[[nodiscard]] std::vector<report::CalendarEvent> calendar_of(const Desk& desk);

// Those of the month of that day.
[[nodiscard]] std::vector<report::CalendarEvent> in_month(std::vector<report::CalendarEvent> events, Date first);

inline constexpr std::string_view this_month = "this"; // as a month is typed, too

// The first day of the month typed YYYY-MM, or `this`. Error(refused) of what is none.
[[nodiscard]] Date first_of_month(const std::string& text, Date today);

} // namespace lotwort
