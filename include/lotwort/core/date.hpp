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

// As typed: an ISO date, `today` or `yesterday`. Throws Error(refused) that shows the spellings.
[[nodiscard]] Date parse_date(std::string_view text, Date today);

// 2026
[[nodiscard]] int year_of(Date day);

// YYYY-MM-DD
[[nodiscard]] std::string to_iso(Date day);

} // namespace lotwort
