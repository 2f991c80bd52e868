// What is to come by day: brews, orders, dry hops, what spoils. As a month in the terminal and on a page, and as a
// calendar file (RFC 5545).
#pragma once

#include <lotwort/brew/board.hpp>
#include <lotwort/core/date.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

struct CalendarEvent {
    Date on;
    std::string id;      // the same whenever it is written: of the plan, order, lot or run it is about
    std::string brief;   // "P1 pale", for a day's square
    std::string title;   // "Brew pale (P1)"
    std::string details; // a sentence more; may be empty
    friend bool operator==(const CalendarEvent&, const CalendarEvent&) = default;
};

// Events by day, and under them who is in which tank. `first` is the month's first day.
[[nodiscard]] std::string month_text(const std::vector<CalendarEvent>& events, const std::vector<TankState>& tanks,
                                     Date first); // at most 24 lines
[[nodiscard]] std::string month_page(const std::vector<CalendarEvent>& events, const std::vector<TankState>& tanks,
                                     Date first);
[[nodiscard]] std::string events_csv(const std::vector<CalendarEvent>& events);
[[nodiscard]] std::string events_json(const std::vector<CalendarEvent>& events); // lotwort/plan/1: "calendar"

// A whole calendar object: lines ended by CR LF and folded at 75 bytes, text escaped, one event of a whole day each.
// `stamp`: the day it is written, which stands for the time that the format wants.
[[nodiscard]] std::string calendar_file(const std::vector<CalendarEvent>& events, Date stamp);

} // namespace lotwort::report
