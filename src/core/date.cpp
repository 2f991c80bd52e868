#include <date/date.h>
#include <fmt/format.h>
#include <lotwort/core/date.hpp>
#include <lotwort/core/error.hpp>
#include <sstream>

namespace lotwort {

std::optional<Date> parse_iso_date(std::string_view text) {
    // %F alone would take 2026-2-3 and trailing text: exactly YYYY-MM-DD, then a day that exists
    if (text.size() != 10) return std::nullopt;
    for (std::size_t i = 0; i < 10; ++i) {
        const bool dash = i == 4 || i == 7;
        if (dash ? text[i] != '-' : (text[i] < '0' || text[i] > '9')) return std::nullopt;
    }
    std::istringstream in{std::string(text)};
    date::year_month_day day{};
    in >> date::parse("%F", day);
    if (in.fail() || !day.ok()) return std::nullopt;
    if (day.year() < date::year(1900) || day.year() > date::year(2199)) return std::nullopt;
    return Date(date::sys_days(day));
}

Date parse_date(std::string_view text, Date today) {
    if (text == "today") return today;
    if (text == "yesterday") return today - std::chrono::days(1);
    if (const auto day = parse_iso_date(text)) return *day;
    throw Error(ErrorKind::refused, fmt::format("`{}` is no date", text),
                fmt::format("write YYYY-MM-DD, such as {}, or today, or yesterday", to_iso(today)));
}

std::string to_iso(Date day) {
    return date::format("%F", day);
}

} // namespace lotwort
