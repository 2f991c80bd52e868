#include <array>
#include <date/date.h>
#include <fmt/format.h>
#include <lotwort/core/date.hpp>
#include <lotwort/core/error.hpp>

namespace lotwort {

namespace {

constexpr int least_year = 1900;
constexpr int most_year = 2199;

// Four digits, two and two; whether there is such a day is another question.
std::optional<date::year_month_day> parse_shape(std::string_view text) {
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
    return date::year_month_day{date::year(year), date::month(month), date::day(of_month)};
}

bool is_in_range(date::year year) {
    return year >= date::year(least_year) && year <= date::year(most_year);
}

// Why a date of the right shape is no day.
std::string fault_of(date::year_month_day day) {
    constexpr std::array<std::string_view, 12> names{"January",   "February", "March",    "April",
                                                     "May",       "June",     "July",     "August",
                                                     "September", "October",  "November", "December"};
    if (!is_in_range(day.year())) return fmt::format(": years from {} to {} are taken", least_year, most_year);
    const auto month = static_cast<unsigned>(day.month());
    if (!day.month().ok()) return fmt::format(": there is no month {}", month);
    const date::year_month_day_last last{day.year(), date::month_day_last(day.month())};
    return fmt::format(": {} {} has {} days", names[month - 1], static_cast<int>(day.year()),
                       static_cast<unsigned>(last.day()));
}

} // namespace

std::optional<Date> parse_iso_date(std::string_view text) {
    const auto day = parse_shape(text);
    if (!day || !day->ok() || !is_in_range(day->year())) return std::nullopt;
    return Date(date::sys_days(*day));
}

Date parse_date(std::string_view text, Date today) {
    if (text == "today") return today;
    if (text == "yesterday") return today - std::chrono::days(1);
    if (const auto day = parse_iso_date(text)) return *day;
    const auto shape = parse_shape(text);
    throw Error(ErrorKind::refused, fmt::format("`{}` is no date{}", text, shape ? fault_of(*shape) : ""),
                fmt::format("write YYYY-MM-DD, such as {}, or today, or yesterday", to_iso(today)));
}

int year_of(Date day) {
    return static_cast<int>(date::year_month_day{day}.year());
}

std::string to_iso(Date day) {
    const date::year_month_day parts{day};
    const int year = static_cast<int>(parts.year());
    LOTWORT_CHECK(year >= 0 && year <= 9999); // ISO 8601 has four digits
    std::string text = "0000-00-00";
    const auto put = [&text](std::size_t last, unsigned number) { // digits by hand: lists of stock are full of days
        for (; number > 0; number /= 10) text[last--] = static_cast<char>('0' + number % 10);
    };
    put(3, static_cast<unsigned>(year));
    put(6, static_cast<unsigned>(parts.month()));
    put(9, static_cast<unsigned>(parts.day()));
    return text;
}

} // namespace lotwort
