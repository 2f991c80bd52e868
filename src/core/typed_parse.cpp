// The one parser of a number with its unit: NUMBER [± NUMBER] UNIT [@ TEMPERATURE].
#include "typed_units.hpp"
#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
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
    const typed_detail::Demand* demand; // null: this is an offer being tried, and makes none itself
    std::string_view first_unit, second_unit;
};

[[noreturn]] void refuse(const std::string& message, std::string hint) {
    throw Error(ErrorKind::refused, message, std::move(hint));
}

std::string_view name_of(Dimension expected) {
    return typed_detail::words_of(expected).name;
}

// "a mass is written in kg, g, lb, oz, mg or t": what may be typed, where what was meant cannot be told.
std::string units_hint(Dimension expected) {
    return fmt::format("{} is written in {}", name_of(expected), typed_detail::words_of(expected).units);
}

std::string example(const Reading& reading) {
    if (reading.expected == Dimension::gravity) return "write a number and its unit, such as 1.048 or 12P";
    return fmt::format("write a number and its unit, such as 25{}", reading.first_unit);
}

Typed parse(const Reading& reading);

bool is_taken(const Reading& reading, const std::string& offer) {
    if (reading.demand == nullptr) return false;
    try {
        (*reading.demand)(parse({offer, reading.expected, nullptr, reading.first_unit, reading.second_unit}));
        return true;
    } catch (const Error&) {
        return false;
    }
}

// Those of the spellings that would be taken; a spelling offered twice is offered once.
std::vector<std::string> taken_of(const Reading& reading, const std::vector<std::string>& spellings) {
    std::vector<std::string> offers;
    for (const auto& spelling : spellings)
        if (std::find(offers.begin(), offers.end(), spelling) == offers.end() && is_taken(reading, spelling))
            offers.push_back(spelling);
    return offers;
}

// "write 25kg or 25lb"; where none of them would be taken, the units that are.
std::string offer(const Reading& reading, const std::vector<std::string>& spellings) {
    const auto offers = taken_of(reading, spellings);
    if (offers.empty()) return units_hint(reading.expected);
    const std::string& last = offers.back();
    const std::vector<std::string> others(offers.begin(), offers.end() - 1);
    return others.empty() ? fmt::format("write {}", last)
                          : fmt::format("write {} or {}", fmt::join(others, ", "), last);
}

// Not a number alone, of which nothing says what it is.
bool has_kind(const Reading& reading, const std::string& offer) {
    return !std::holds_alternative<Bare>(parse({offer, reading.expected, nullptr, "", ""}).value);
}

struct Number {
    double value = 0.0;
    std::string plain; // as it is offered: 2,5 as 2.5
};

Number number_from(const Reading& reading, std::string_view text, std::string_view& rest) {
    Number number;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), number.value);
    if (fault != std::errc())
        refuse(fmt::format("`{}` holds a number too large or too small to keep", reading.whole),
               fmt::format("write it plainly, such as 25{}", reading.first_unit));
    const auto size = static_cast<std::size_t>(end - text.data());
    number.plain = text.substr(0, size);
    rest = text.substr(size);
    if (number.value == 0.0) number.value = 0.0; // -0 is 0
    return number;
}

// 2,5kg and 1 250kg are taken, since they mean one thing; 1,250kg only where one of its two meanings can be.
Number separated_number(const Reading& reading, std::string_view text, std::size_t size, std::string_view& rest) {
    const std::size_t sign = text.starts_with('-') ? 1 : 0;
    const auto at = static_cast<std::size_t>(text.data() - reading.whole.data()) + sign;
    auto meanings = typed_detail::meanings_of_number(text.substr(sign, size));
    if (meanings.empty())
        refuse(fmt::format("`{}` is not {}", reading.whole, name_of(reading.expected)), example(reading));
    if (meanings.size() > 1) {
        const auto behind = std::min(reading.whole.find_first_not_of(' ', at + size), reading.whole.size());
        std::vector<std::string> spellings;
        for (const auto& meaning : meanings)
            spellings.push_back(std::string(reading.whole).replace(at, behind - at, meaning));
        auto offers = taken_of(reading, spellings);
        if (offers.size() > 1 && has_kind(reading, offers[0]) && !has_kind(reading, offers[1])) // 1,048 is a gravity
            offers.pop_back();
        if (offers.size() > 1)
            refuse(fmt::format("`{}` may be either of two numbers", reading.whole),
                   fmt::format("write {}, or {} if the comma parts thousands", offers[0], offers[1]));
        if (offers.size() == 1 && offers[0] == spellings[1]) std::swap(meanings[0], meanings[1]);
    }
    std::string_view none;
    rest = text.substr(sign + size);
    return number_from(reading, (sign == 1 ? "-" : "") + meanings[0], none);
}

// Takes a number off the front of `rest`.
Number take_number(const Reading& reading, std::string_view& rest) {
    const std::size_t sign = rest.starts_with('-') ? 1 : 0;
    const bool begins =
        rest.size() > sign &&
        (is_digit(rest[sign]) || (rest[sign] == '.' && rest.size() > sign + 1 && is_digit(rest[sign + 1])));
    if (!begins) refuse(fmt::format("`{}` is not {}", reading.whole, name_of(reading.expected)), example(reading));
    const std::size_t size = typed_detail::length_of_number(rest.substr(sign));
    const std::string_view digits = rest.substr(sign, size);
    const bool separated =
        digits.find_first_of(",' ") != std::string_view::npos || std::count(digits.begin(), digits.end(), '.') > 1;
    return separated ? separated_number(reading, rest, size, rest) : number_from(reading, rest, rest);
}

std::optional<double> take_sd(const Reading& reading, std::string_view& rest) {
    for (const std::string_view sign : {"±", "+/-", "+-"}) {
        if (!rest.starts_with(sign)) continue;
        rest = trimmed(rest.substr(sign.size()));
        const double sd = take_number(reading, rest).value;
        if (!(sd > 0.0))
            refuse(fmt::format("`{}`: an uncertainty is above nothing", reading.whole),
                   "write it behind the ±, such as 1.048±0.001");
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

// What stands around a unit: 28 and @95C of 28gal@95C. An offer puts another unit between them.
struct Around {
    std::string before;
    std::string behind;
    [[nodiscard]] std::string with(std::string_view unit) const { return fmt::format("{}{}{}", before, unit, behind); }
};

// Which of the two countries' measures it is cannot be told, and is asked.
[[noreturn]] void refuse_country(const Reading& reading, const Around& around, const std::string& low) {
    const auto stroke = std::min(low.find('/'), low.size());
    const auto [unit, name] = country_unit(low.substr(0, stroke));
    const std::string per = low.substr(stroke);
    const auto with = [&](std::string_view country) { return around.with(fmt::format("{}{}{}", unit, country, per)); };
    const bool is_taken_so = is_taken(reading, with("US")) && is_taken(reading, with("UK"));
    refuse(fmt::format("`{}`: which {}, the American or the British one?", reading.whole, name),
           is_taken_so ? fmt::format("write '{}' or '{}', in quotes; {} and {} need none", with("(US)"), with("(UK)"),
                                     with("US"), with("UK"))
                       : units_hint(reading.expected));
}

[[noreturn]] void refuse_kind(const Reading& reading, const Around& around, const UnitRow& found,
                              std::string_view typed) {
    const std::string message =
        fmt::format("`{}` is {} where {} is asked for", reading.whole,
                    found.dimension == Dimension::amount ? "a number of pieces" : name_of(found.dimension),
                    name_of(reading.expected));
    const std::string rate = around.with(fmt::format("{}/h", typed));
    if (found.dimension == Dimension::volume && is_taken(reading, rate))
        refuse(message, fmt::format("write {} if that is in an hour", rate));
    refuse(message, units_hint(reading.expected));
}

[[noreturn]] void refuse_unit(const Reading& reading, const Around& around, std::string_view typed) {
    const std::string low = lowered(typed);
    constexpr std::string_view holders[] = {"sack", "bag", "pack", "packet", "box", "tin", "carton"};
    for (const auto holder : holders)
        if (low.starts_with(holder) && low.size() <= holder.size() + 2)
            refuse(fmt::format("`{}` does not say how much is in one", reading.whole),
                   fmt::format("write what they hold, such as 25kg{}",
                               is_taken(reading, around.with("pieces"))
                                   ? fmt::format("; what is counted is written {}", around.with("pieces"))
                                   : ""));
    const std::string message = fmt::format("`{}`: there is no unit `{}`", reading.whole, typed);
    const auto word = low.find(' '); // 24kg left
    const bool is_remark = word != std::string::npos && low.find_first_of("0123456789", word) == std::string::npos;
    refuse(message, is_remark ? offer(reading, {around.with(typed.substr(0, word))}) : units_hint(reading.expected));
}

UnitRow find_unit(const Reading& reading, const Around& around, std::string_view typed) {
    if (typed.size() > 20) // not a unit; nor is it worth comparing
        refuse(fmt::format("`{}` is not {}", reading.whole, name_of(reading.expected)), example(reading));
    const std::string low = lowered(typed);
    const auto rows = typed_detail::unit_rows();
    const bool lovibond = reading.expected == Dimension::colour && low == "l";
    const auto known = std::find_if(rows.begin(), rows.end(),
                                    [&](const UnitRow& row) { return row.spelling == (lovibond ? "°l" : low); });
    const auto found = known != rows.end()                      ? std::optional(*known)
                       : reading.expected == Dimension::extract ? std::nullopt // hl/kg is none of L°/kg
                                                                : typed_detail::quotient_of(low);
    if (found && typed_detail::fits(*found, reading.expected)) return *found;
    if (found) refuse_kind(reading, around, *found, typed);
    if (const auto whose = typed_detail::in_one_country(low)) {
        if (!typed_detail::fits(*whose, reading.expected)) refuse_kind(reading, around, *whose, typed);
        refuse_country(reading, around, low);
    }
    refuse_unit(reading, around, typed);
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

constexpr double hardly_quarts = 0.3;      // for a pound: grain holds half a quart at least, and that is 0.12 gallons
constexpr double most_pieces = 10.0;       // packs of yeast for a brew: more may well be kilograms
constexpr double hardly_kilograms = 100.0; // a number alone from here on may well be grams

TypedValue bare(const Reading& reading, double value, const Around& around) {
    const bool gravity = value >= 0.98 && value <= 1.2;
    if (reading.expected == Dimension::any) return gravity ? TypedValue(SpecificGravity(value)) : Bare(value);
    if (reading.expected == Dimension::gravity && value < 2.0) return SpecificGravity(value);
    std::vector<std::string> spellings{around.with(reading.first_unit)};
    if (!reading.second_unit.empty()) spellings.push_back(around.with(reading.second_unit));
    if (reading.expected == Dimension::amount && value >= 1.0 && value <= most_pieces && value == std::floor(value))
        spellings.push_back(around.with(value == 1.0 ? "piece" : "pieces"));
    if (reading.expected == Dimension::per_mass && value < hardly_quarts) spellings.back() = around.with("galUS/lb");
    const bool stock = reading.expected == Dimension::mass || reading.expected == Dimension::amount;
    if (stock && reading.first_unit == "kg" && value >= hardly_kilograms)
        spellings.insert(spellings.begin(), around.with("g"));
    if (reading.expected == Dimension::gravity && value >= 980.0 && value <= 1200.0)
        spellings = {fmt::format("{:.6g}{}", value / 1000.0, around.behind)};
    if (reading.expected == Dimension::extract && value > 1.0 && value < 1.047) // the gravity of a pound in a gallon
        refuse(fmt::format("`{}` has no unit", reading.whole), units_hint(reading.expected));
    if (reading.expected == Dimension::extract && value > 0.0 && value < 1.0) // a share of one
        spellings = {fmt::format("{:.6g}%", 100.0 * value)};
    else if (reading.expected == Dimension::extract && value <= 46.2) // of pure sugar
        spellings = {around.with("%"), around.with("ppg")};
    else if (reading.expected == Dimension::extract) // no malt gives 81 L°/kg, none above its own mass
        spellings = {around.with(value > 100.0 ? "L/kg" : "%")};
    std::string hint = offer(reading, spellings);
    if (reading.expected == Dimension::percent && value > 0.0 && value < 1.0)
        hint = fmt::format("a share of one is written as a per cent, {:.6g}%; {} is that many of a hundred",
                           100.0 * value, around.with("%"));
    refuse(fmt::format("`{}` has no unit", reading.whole), std::move(hint));
}

Typed parse(const Reading& reading) {
    std::string_view rest = trimmed(reading.whole);
    Typed typed{Bare(), std::nullopt, std::nullopt};
    Around around;
    if (const auto at = rest.find('@'); at != std::string_view::npos) {
        around.behind = trimmed(rest.substr(at));
        typed.at = parse_temperature(trimmed(rest.substr(at + 1)));
        rest = trimmed(rest.substr(0, at));
    }
    const Number number = take_number(reading, rest);
    const std::string_view behind_number = rest;
    rest = trimmed(rest);
    typed.sd = take_sd(reading, rest);
    rest = trimmed(rest);
    around.before = number.plain + std::string(trimmed(behind_number.substr(0, behind_number.size() - rest.size())));
    if (rest.empty()) {
        typed.value = bare(reading, number.value, around);
        return typed;
    }
    const bool time = reading.expected == Dimension::any || reading.expected == Dimension::time;
    if (const auto minutes = time && !typed.sd ? hours_and_minutes(number.value, rest) : std::nullopt) {
        typed.value = Minutes(*minutes);
        return typed;
    }
    if (!typed.sd) typed.sd = take_sd_behind(reading, rest);
    const UnitRow row = find_unit(reading, around, rest);
    typed.value = row.make((number.value + row.offset) * row.factor);
    if (typed.sd) *typed.sd *= row.factor;
    return typed;
}

} // namespace

Typed typed_detail::parse_for(std::string_view text, Dimension expected, const Demand& demand,
                              std::string_view offered_unit) {
    const auto words = words_of(expected);
    if (!offered_unit.empty()) return parse({text, expected, &demand, offered_unit, ""});
    return parse({text, expected, &demand, words.first_unit, words.second_unit});
}

bool is_unit(std::string_view word) {
    const std::string unit = lowered(word.substr(0, word.find('@')));
    const auto rows = typed_detail::unit_rows();
    return std::any_of(rows.begin(), rows.end(), [&](const UnitRow& row) { return row.spelling == unit; }) ||
           typed_detail::quotient_of(unit) || typed_detail::in_one_country(unit);
}

Typed parse_typed(std::string_view text, Dimension expected) {
    return typed_detail::parse_for(text, expected, [](const Typed&) {});
}

} // namespace lotwort
