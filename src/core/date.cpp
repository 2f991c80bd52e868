#include <date/date.h>
#include <fmt/format.h>
#include <lotwort/core/date.hpp>
#include <lotwort/core/error.hpp>

namespace lotwort {

std::optional<Date> parse_iso_date(std::string_view text) {
    // read by hand: date's own %F would take 2026-2-3 and trailing text, and a ledger holds dates by the 100,000
    if (text.size() != 10) return std::nullopt;
    for (std::size_t i = 0; i < 10; ++i) {
        const bool dash = i == 4 || i == 7;
        if (dash ? text[i] != '-' : (text[i] < '0' || text[i] > '9')) return std::nullopt;
    }
    const auto digit = [&](std::size_t i) { return text[i] - '0'; };
    const int year = 1000 * digit(0) + 100 * digit(1) + 10 * digit(2) + digit(3);
    const auto month = static_cast<unsigned>(10 * digit(5) + digit(6));
    const auto of_month = static_cast<unsigned>(10 * digit(8) + digit(9));
    const date::year_month_day day{date::year(year), date::month(month), date::day(of_month)};
    if (!day.ok() || year < 1900 || year > 2199) return std::nullopt;
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
    const date::year_month_day parts{day};
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(parts.year()), static_cast<unsigned>(parts.month()),
                       static_cast<unsigned>(parts.day()));
}

} // namespace lotwort
