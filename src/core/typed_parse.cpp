// The one parser of a number with its unit: NUMBER [± NUMBER] UNIT [@ TEMPERATURE].
#include "typed_units.hpp"
#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/nearest.hpp>
#include <string>
#include <vector>

namespace lotwort {

namespace {

using typed_detail::UnitRow;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

std::string_view trimmed(std::string_view text) {
    while (text.starts_with(' ')) text.remove_prefix(1);
    while (text.ends_with(' ')) text.remove_suffix(1);
    return text;
}

// What is being read and for whom: carried along for the refusals.
struct Reading {
    std::string_view whole;
    Dimension expected;
};

[[noreturn]] void refuse(const std::string& message, std::string hint) {
    throw Error(ErrorKind::refused, message, std::move(hint));
}

// "write 25kg or 25lb", with the number as it was typed.
std::string spellings(std::string_view number, std::string_view first, std::string_view second) {
    std::string hint = fmt::format("write {}{}", number, first);
    if (!second.empty() && second != first) hint += fmt::format(" or {}{}", number, second);
    return hint;
}

std::string example(Dimension expected) {
    const auto words = typed_detail::words_of(expected);
    if (expected == Dimension::gravity) return "write a number and its unit, such as 1.048 or 12P";
    return spellings("a number and its unit, such as 25", words.first_unit, "");
}

// 1,2kg is one and a fifth to one and a slip to another: refused, and shown with the point.
void refuse_comma(const Reading& reading, std::string_view number, std::string_view rest) {
    if (!rest.starts_with(',')) return;
    rest.remove_prefix(1);
    const auto end = std::find_if_not(rest.begin(), rest.end(), is_digit);
    const std::string_view digits = rest.substr(0, static_cast<std::size_t>(end - rest.begin()));
    if (digits.empty()) return;
    std::string_view unit = rest.substr(digits.size());
    std::string hint = fmt::format("write {}.{}{}", number, digits, unit);
    if (digits.size() == 3) hint += fmt::format(", or {}{}{} for thousands", number, digits, unit);
    refuse(fmt::format("`{}` has a comma in its number", reading.whole), hint + ": the decimal sign is the point");
}

// Takes a number off the front of `rest`.
double take_number(const Reading& reading, std::string_view& rest) {
    const std::string_view from = rest;
    const std::size_t sign = rest.starts_with('-') ? 1 : 0;
    const bool begins =
        rest.size() > sign &&
        (is_digit(rest[sign]) || (rest[sign] == '.' && rest.size() > sign + 1 && is_digit(rest[sign + 1])));
    if (!begins)
        refuse(fmt::format("`{}` is not {}", reading.whole, typed_detail::words_of(reading.expected).name),
               example(reading.expected));
    double value = 0.0;
    const auto [end, fault] = std::from_chars(rest.data(), rest.data() + rest.size(), value);
    if (fault != std::errc())
        refuse(fmt::format("`{}` holds a number too large or too small to keep", reading.whole),
               fmt::format("write it plainly, such as 25{}", typed_detail::words_of(reading.expected).first_unit));
    rest.remove_prefix(static_cast<std::size_t>(end - rest.data()));
    refuse_comma(reading, from.substr(0, from.size() - rest.size()), rest);
    return value == 0.0 ? 0.0 : value; // -0 is 0
}

std::optional<double> take_sd(const Reading& reading, std::string_view& rest) {
    for (const std::string_view sign : {"±", "+/-", "+-"}) {
        if (!rest.starts_with(sign)) continue;
        rest = trimmed(rest.substr(sign.size()));
        const double sd = take_number(reading, rest);
        if (!(sd > 0.0))
            refuse(fmt::format("`{}`: an uncertainty is above nothing", reading.whole), "write 1.048±0.001");
        return sd;
    }
    return std::nullopt;
}

// 11%±0.3, 11% ± 0.3%: the uncertainty may stand behind the unit too, in that unit. Leaves the unit in `rest`.
std::optional<double> take_sd_behind(const Reading& reading, std::string_view& rest) {
    std::size_t at = std::string_view::npos;
    for (const std::string_view sign : {"±", "+/-", "+-"}) at = std::min(at, rest.find(sign));
    if (at == std::string_view::npos) return std::nullopt;
    const std::string_view unit = trimmed(rest.substr(0, at));
    std::string_view behind = rest.substr(at);
    const auto sd = take_sd(reading, behind);
    behind = trimmed(behind);
    if (!behind.empty() && lowered(behind) != lowered(unit))
        refuse(fmt::format("`{}`: the figure is in `{}` and its uncertainty in `{}`", reading.whole, unit, behind),
               fmt::format("write both in {}", unit));
    rest = unit;
    return sd;
}

// The two units of the dimension that look most like what was typed.
std::string nearest_spellings(std::string_view number, const std::string& low, Dimension expected) {
    std::vector<std::pair<std::size_t, std::string_view>> near;
    for (const UnitRow& row : typed_detail::unit_rows())
        if (typed_detail::fits(row, expected)) near.emplace_back(edit_distance(low, row.spelling), row.shown);
    std::stable_sort(near.begin(), near.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    if (near.empty()) return "";
    const auto other =
        std::find_if(near.begin(), near.end(), [&](const auto& n) { return n.second != near[0].second; });
    return spellings(number, near[0].second, other == near.end() ? "" : other->second);
}

struct CountryUnit {
    std::string_view unit;
    std::string_view name;
};

CountryUnit country_unit(std::string_view low) {
    if (low.starts_with("gal")) return {"gal", "gallon"};
    if (low.starts_with("p")) return {"pt", "pint"};
    if (low.starts_with("q")) return {"qt", "quart"};
    if (low.starts_with("bbl")) return {"bbl", "barrel"};
    return {"floz", "fluid ounce"};
}

const UnitRow& find_unit(const Reading& reading, std::string_view number, std::string_view typed) {
    if (typed.size() > 20) // not a unit; nor is it worth comparing
        refuse(fmt::format("`{}` is not {}", reading.whole, typed_detail::words_of(reading.expected).name),
               example(reading.expected));
    const std::string low = lowered(typed);
    const auto rows = typed_detail::unit_rows();
    const bool lovibond = reading.expected == Dimension::colour && low == "l";
    const auto found = std::find_if(rows.begin(), rows.end(),
                                    [&](const UnitRow& row) { return row.spelling == (lovibond ? "°l" : low); });
    if (found != rows.end()) {
        if (typed_detail::fits(*found, reading.expected)) return *found;
        const bool pieces = found->dimension == Dimension::amount;
        const auto is = pieces ? "a number of pieces" : typed_detail::words_of(found->dimension).name;
        const auto words = typed_detail::words_of(reading.expected);
        refuse(fmt::format("`{}` is {} where {} is asked for", reading.whole, is, words.name),
               spellings(number, words.first_unit, words.second_unit));
    }
    if (typed_detail::differs_by_country(low)) {
        const auto [unit, name] = country_unit(low);
        refuse(fmt::format("`{}`: which {}, the American or the British one?", reading.whole, name),
               fmt::format("write '{0}{1}(US)' or '{0}{1}(UK)', in quotes; {0}{1}US and {0}{1}UK need none", number,
                           unit));
    }
    constexpr std::string_view holders[] = {"sack", "bag", "pack", "packet", "box", "tin", "carton"};
    for (const auto holder : holders)
        if (low.starts_with(holder) && low.size() <= holder.size() + 2)
            refuse(fmt::format("`{}` does not say how much is in one", reading.whole),
                   "write what they hold, such as 25kg; what is counted is written 3pieces");
    refuse(fmt::format("`{}`: there is no unit `{}`", reading.whole, typed),
           nearest_spellings(number, low, reading.expected));
}

// 1h30 and 1h30min
std::optional<double> hours_and_minutes(double hours, std::string_view rest) {
    if (rest.size() < 3 || (rest[0] != 'h' && rest[0] != 'H') || !is_digit(rest[1]) || !is_digit(rest[2]))
        return std::nullopt;
    const std::string after = lowered(rest.substr(3));
    const double minutes = (rest[1] - '0') * 10.0 + (rest[2] - '0');
    const bool whole = hours >= 0.0 && hours < 1e6 && hours == static_cast<double>(static_cast<long>(hours));
    if (!whole || minutes >= 60.0 || (!after.empty() && after != "min")) return std::nullopt;
    return hours * 60.0 + minutes;
}

TypedValue bare(const Reading& reading, double value, std::string_view number) {
    const bool gravity = value >= 0.98 && value <= 1.2;
    if (reading.expected == Dimension::any) return gravity ? TypedValue(SpecificGravity(value)) : Bare(value);
    if (reading.expected == Dimension::gravity && value < 2.0) return SpecificGravity(value);
    const auto words = typed_detail::words_of(reading.expected);
    std::string hint = spellings(number, words.first_unit, words.second_unit);
    if (reading.expected == Dimension::gravity && value >= 980.0 && value <= 1200.0)
        hint = fmt::format("write {:.3f}", value / 1000.0);
    if (reading.expected == Dimension::extract) // no malt gives 81 L°/kg, none above its own mass
        hint = value > 100.0 ? fmt::format("write {}L/kg", number) : fmt::format("write {}%", number);
    if (reading.expected == Dimension::percent && value > 0.0 && value < 1.0)
        hint = fmt::format("a share of one is written as a per cent, {:.6g}%; {}% is that many of a hundred",
                           100.0 * value, number);
    refuse(fmt::format("`{}` has no unit", reading.whole), std::move(hint));
}

} // namespace

Typed parse_typed(std::string_view text, Dimension expected) {
    const Reading reading{text, expected};
    std::string_view rest = trimmed(text);
    Typed typed{Bare(), std::nullopt, std::nullopt};
    if (const auto at = rest.find('@'); at != std::string_view::npos) {
        const std::string_view temperature = trimmed(rest.substr(at + 1));
        typed.at = parse_temperature(temperature);
        rest = trimmed(rest.substr(0, at));
    }
    const std::string_view from = rest;
    const double value = take_number(reading, rest);
    const std::string_view number = from.substr(0, from.size() - rest.size());
    rest = trimmed(rest);
    typed.sd = take_sd(reading, rest);
    rest = trimmed(rest);
    if (rest.empty()) {
        typed.value = bare(reading, value, number);
        return typed;
    }
    const bool time = expected == Dimension::any || expected == Dimension::time;
    if (const auto minutes = time && !typed.sd ? hours_and_minutes(value, rest) : std::nullopt) {
        typed.value = Minutes(*minutes);
        return typed;
    }
    if (!typed.sd) typed.sd = take_sd_behind(reading, rest);
    const UnitRow& row = find_unit(reading, number, rest);
    typed.value = row.make((value + row.offset) * row.factor);
    if (typed.sd) *typed.sd *= row.factor;
    return typed;
}

} // namespace lotwort
