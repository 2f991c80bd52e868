// Calendar days. No clock is read here: "today" is a value that main brings.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace lotwort {

using Date = std::chrono::sys_days; // a day; the difference of two is std::chrono::days

// YYYY-MM-DD, exactly ten characters, a day that exists, from 1900-01-01 to 2199-12-31. Empty otherwise.
[[nodiscard]] std::optional<Date> parse_iso_date(std::string_view text);

// Which way from today a weekday's name is meant; best before is a month's last day too.
enum class Looks { back, ahead, best_before };

// As typed: an ISO date, today, yesterday, 17.01.2026, 17 Jan 2026, 2026-1-17, 17/01/2026 where it can be one day
// alone, a weekday's name (the last such day or the next), where it looks ahead tomorrow, and for best before 03/2027.
// Throws Error(refused) that shows the spellings, or both days of what may be two.
[[nodiscard]] Date parse_date(std::string_view text, Date today, Looks looks = Looks::back);

// Saturday
[[nodiscard]] std::string_view weekday_of(Date day);

// 2026
[[nodiscard]] int year_of(Date day);

// YYYY-MM-DD
[[nodiscard]] std::string to_iso(Date day);

} // namespace lotwort
