#include <algorithm>
#include <array>
#include <date/date.h>
#include <fmt/format.h>
#include <lotwort/core/date.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/nearest.hpp>
#include <string>
#include <vector>

namespace lotwort {

namespace {

constexpr int least_year = 1900;
constexpr int most_year = 2199;

constexpr std::array<std::string_view, 12> months{"January",   "February", "March",    "April",
                                                  "May",       "June",     "July",     "August",
                                                  "September", "October",  "November", "December"};
constexpr std::array<std::string_view, 7> weekdays{"Sunday",   "Monday", "Tuesday", "Wednesday",
                                                   "Thursday", "Friday", "Saturday"};

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

bool is_day(date::year_month_day day) {
    return day.ok() && is_in_range(day.year());
}

// Why a date of the right shape is no day.
std::string fault_of(date::year_month_day day) {
    if (!is_in_range(day.year())) return fmt::format(": years from {} to {} are taken", least_year, most_year);
    const auto month = static_cast<unsigned>(day.month());
    if (!day.month().ok()) return fmt::format(": there is no month {}", month);
    const date::year_month_day_last last{day.year(), date::month_day_last(day.month())};
    return fmt::format(": {} {} has {} days", months[month - 1], static_cast<int>(day.year()),
                       static_cast<unsigned>(last.day()));
}

// The parts of 17.01.2026, 17 Jan 2026 or 2026-1-17: runs of digits and of letters, and the sign behind the first.
struct Parts {
    std::vector<std::string> words;
    char sign = '\0';
};

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

Parts parts_of(std::string_view text) {
    Parts parts;
    bool open = false;
    for (const char c : text) {
        const bool sign = std::string_view("-./, ").find(c) != std::string_view::npos;
        if (sign && parts.words.size() == 1 && (parts.sign == '\0' || parts.sign == ' ')) parts.sign = c;
        if (!sign && (!open || is_digit(parts.words.back().back()) != is_digit(c))) parts.words.emplace_back();
        if (!sign) parts.words.back() += c;
        open = !sign;
    }
    return parts;
}

// At most four digits; none where it is no number.
std::optional<int> number_of(const std::string& word) {
    if (word.empty() || word.size() > 4 || !std::all_of(word.begin(), word.end(), is_digit)) return std::nullopt;
    return std::stoi(word);
}

// The place of the one name that begins so, three letters at least.
template <std::size_t N>
std::optional<std::size_t> named(const std::array<std::string_view, N>& names, std::string_view typed) {
    if (typed.size() < 3) return std::nullopt;
    for (std::size_t i = 0; i < N; ++i)
        if (lowered(names[i]).starts_with(lowered(typed))) return i;
    return std::nullopt;
}

std::optional<int> month_of(const std::string& word) {
    const auto at = named(months, word);
    return at ? std::optional(static_cast<int>(*at) + 1) : std::nullopt;
}

date::year_month_day day_of(int year, int month, int day) {
    return {date::year(year), date::month(static_cast<unsigned>(month)), date::day(static_cast<unsigned>(day))};
}

std::string iso_of(date::year_month_day day) {
    return to_iso(Date(date::sys_days(day)));
}

std::string hint_of(Date today) {
    return fmt::format("write YYYY-MM-DD, such as {}, or today, or yesterday", to_iso(today));
}

// 01/02/2026 is two days, 17/01/2026 is one: of two numbers up to twelve with a stroke between nobody knows which is
// the month.
date::year_month_day of_stroke(std::string_view text, int first, int second, int year) {
    const auto day_first = day_of(year, second, first), month_first = day_of(year, first, second);
    if (is_day(day_first) && is_day(month_first) && first != second)
        throw Error(ErrorKind::refused, fmt::format("`{}` may be either of two days", text),
                    fmt::format("write {} or {}", iso_of(day_first), iso_of(month_first)));
    return is_day(month_first) && !is_day(day_first) ? month_first : day_first;
}

// A day written in another way than ISO 8601's; none where it is no date at all.
std::optional<date::year_month_day> other_shape(std::string_view text) {
    const Parts parts = parts_of(text);
    if (parts.words.size() != 3) return std::nullopt;
    const auto first = number_of(parts.words[0]), second = number_of(parts.words[1]), third = number_of(parts.words[2]);
    const auto is_year = [&](std::size_t i) { return parts.words[i].size() == 4; };
    if (third && is_year(2) && parts.words[0].size() <= 2) {
        if (first && second && parts.words[1].size() <= 2)
            return parts.sign == '.' ? day_of(*third, *second, *first) : of_stroke(text, *first, *second, *third);
        if (const auto month = month_of(parts.words[1]); first && month) return day_of(*third, *month, *first);
    }
    if (const auto month = month_of(parts.words[0]); third && is_year(2) && month && second)
        return day_of(*third, *month, *second); // Jan 17, 2026
    if (first && second && third && is_year(0) && parts.words[1].size() <= 2 && parts.words[2].size() <= 2)
        return day_of(*first, *second, *third);
    return std::nullopt;
}

// The last day of 03/2027, 2027-03 or March 2027, as sacks print it.
std::optional<date::year_month_day> end_of_month(std::string_view text) {
    const Parts parts = parts_of(text);
    if (parts.words.size() != 2) return std::nullopt;
    const std::size_t at = parts.words[0].size() == 4 && number_of(parts.words[0]) ? 0 : 1;
    const std::string& other = parts.words[1 - at];
    const auto year = number_of(parts.words[at]);
    const auto month = other.size() <= 2 ? number_of(other) : month_of(other);
    if (!year || parts.words[at].size() != 4 || !month || !is_day(day_of(*year, *month, 1))) return std::nullopt;
    return date::year_month_day{date::year(*year) / date::month(static_cast<unsigned>(*month)) / date::last};
}

Date of_weekday(std::string_view text, std::size_t weekday, Date today, Looks looks) {
    const date::weekday named(static_cast<unsigned>(weekday));
    const auto days = looks == Looks::back ? date::weekday(today) - named : named - date::weekday(today);
    const auto sign = looks == Looks::back ? -1 : 1;
    if (days.count() == 0)
        throw Error(ErrorKind::refused,
                    fmt::format("`{}` may be today, or {}", text, looks == Looks::back ? "a week ago" : "in a week"),
                    fmt::format("write {} or {}", to_iso(today), to_iso(today + sign * std::chrono::days(7))));
    return today + sign * std::chrono::days(days.count());
}

} // namespace

std::optional<Date> parse_iso_date(std::string_view text) {
    const auto day = parse_shape(text);
    if (!day || !is_day(*day)) return std::nullopt;
    return Date(date::sys_days(*day));
}

Date parse_date(std::string_view text, Date today, Looks looks) {
    const std::string low = lowered(text);
    if (low == "today") return today;
    if (low == "yesterday") return today - std::chrono::days(1);
    if (looks != Looks::back && low == "tomorrow") return today + std::chrono::days(1);
    if (const auto day = parse_iso_date(text)) return *day;
    if (const auto weekday = named(weekdays, text)) return of_weekday(text, *weekday, today, looks);
    const auto last = end_of_month(text);
    if (last && looks == Looks::best_before) return Date(date::sys_days(*last));
    if (last)
        throw Error(ErrorKind::refused, fmt::format("`{}` is a month where a day is asked for", text), hint_of(today));
    auto shape = parse_shape(text);
    if (!shape) shape = other_shape(text);
    if (shape && is_day(*shape)) return Date(date::sys_days(*shape));
    throw Error(ErrorKind::refused, fmt::format("`{}` is no date{}", text, shape ? fault_of(*shape) : ""),
                hint_of(today));
}

std::string_view weekday_of(Date day) {
    return weekdays[date::weekday(day).c_encoding()];
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
