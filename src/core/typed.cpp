// Readers of one kind of quantity each, with the range that is believable.
#include "typed_units.hpp"
#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/typed.hpp>

namespace lotwort {

namespace {

// What was typed without its sign, where that would be taken; empty: it would not.
std::string without_sign(std::string_view text, double value, Range believable) {
    while (text.starts_with(' ')) text.remove_prefix(1);
    return value < 0.0 && text.starts_with('-') && believable.holds(-value) ? std::string(text.substr(1)) : "";
}

void demand(std::string_view text, double value, Range believable, std::string_view what, std::string_view unit) {
    if (believable.holds(value)) return;
    // a temperature may be below 0, an amount of anything may not
    const std::string positive = without_sign(text, value, believable);
    if (believable.least >= 0.0 && unit != "C" && !positive.empty())
        throw Error(ErrorKind::refused, fmt::format("`{}` is below nothing", text),
                    fmt::format("write it without the sign: {}", positive));
    throw Error(ErrorKind::refused, fmt::format("`{}` is not a believable {}", text, what),
                fmt::format("from {} to {}{}{} is taken", shortest(believable.least), shortest(believable.most),
                            unit.empty() ? "" : " ", unit));
}

void demand_alone(std::string_view text, const Typed& typed, bool temperature_allowed) {
    if (typed.sd)
        throw Error(ErrorKind::refused, fmt::format("`{}`: no uncertainty is taken here", text),
                    "leave the ± part out; an instrument's uncertainty is stated with the instrument");
    if (typed.at && !temperature_allowed)
        throw Error(ErrorKind::refused, fmt::format("`{}`: no temperature is taken here", text),
                    fmt::format("leave out what stands behind the number's unit: {}", text.substr(0, text.find('@'))));
}

using typed_detail::parse_for;

// What `read` makes of what is typed; what a refusal offers is read by it too.
template <class Read>
auto read_as(std::string_view text, Dimension dimension, Read&& read, std::string_view offered_unit = "") {
    return read(parse_for(
        text, dimension, [&](const Typed& typed) { (void)read(typed); }, offered_unit));
}

template <class Value>
Value one(std::string_view text, Dimension dimension, Range believable, std::string_view what, std::string_view unit,
          std::string_view offered_unit = "") {
    const auto read = [&](const Typed& typed) {
        demand_alone(text, typed, false);
        const Value value = std::get<Value>(typed.value);
        demand(text, value.value(), believable, what, unit);
        return value;
    };
    return read_as(text, dimension, read, offered_unit);
}

TypedGravity gravity_of(std::string_view text, const Typed& typed) {
    if (const auto* sg = std::get_if<SpecificGravity>(&typed.value)) {
        demand(text, sg->value(), believable_sg, "gravity", "");
        return *sg;
    }
    if (const auto* plato = std::get_if<Plato>(&typed.value)) {
        demand(text, plato->value(), believable_plato, "gravity", "P");
        return *plato;
    }
    const Brix brix = std::get<Brix>(typed.value);
    demand(text, brix.value(), believable_brix, "gravity", "Bx");
    return brix;
}

} // namespace

Kilograms parse_mass(std::string_view text, Range believable) {
    return one<Kilograms>(text, Dimension::mass, believable, "mass", "kg");
}

Litres parse_volume(std::string_view text, Range believable) {
    return one<Litres>(text, Dimension::volume, believable, "volume", "L");
}

Amount parse_amount(std::string_view text) {
    return read_as(text, Dimension::amount, [&](const Typed& typed) {
        demand_alone(text, typed, false);
        if (const auto* mass = std::get_if<Kilograms>(&typed.value)) {
            demand(text, mass->value(), {0.0, 1e6}, "amount", "kg");
            return Amount::of(*mass);
        }
        if (const auto* volume = std::get_if<Litres>(&typed.value)) {
            demand(text, volume->value(), {0.0, 1e6}, "amount", "L");
            return Amount::of(*volume);
        }
        const double pieces = std::get<Pieces>(typed.value).value();
        demand(text, pieces, {0.0, 1e6}, "amount", "pieces");
        if (pieces != std::floor(pieces))
            throw Error(ErrorKind::refused, fmt::format("`{}`: pieces are counted whole", text),
                        "write a whole number of them, such as 3pieces");
        return Amount::pieces(static_cast<std::int64_t>(pieces));
    });
}

Celsius parse_temperature(std::string_view text, Range believable) {
    return one<Celsius>(text, Dimension::temperature, believable, "temperature", "C");
}

Percent parse_percent(std::string_view text, Range believable) {
    return one<Percent>(text, Dimension::percent, believable, "share in per cent", "%");
}

Minutes parse_minutes(std::string_view text, Range believable) {
    return one<Minutes>(text, Dimension::time, believable, "time", "min", "min"); // a boil of 60 is not one of days
}

int parse_days(std::string_view text, Range believable) {
    const auto read = [&](const Typed& typed) {
        demand_alone(text, typed, false);
        const double days = std::get<Minutes>(typed.value).value() / 1440.0;
        if (days != std::floor(days))
            throw Error(ErrorKind::refused, fmt::format("`{}` is not whole days", text),
                        "write whole days or weeks, such as 14days or 2weeks");
        demand(text, days, believable, "number of days", "days");
        return static_cast<int>(days);
    };
    return read_as(text, Dimension::time, read, "days");
}

Centimetres parse_length(std::string_view text, Range believable) {
    return one<Centimetres>(text, Dimension::length, believable, "length", "cm");
}

LitresPerKilogram parse_litres_per_kilogram(std::string_view text, Range believable) {
    return one<LitresPerKilogram>(text, Dimension::per_mass, believable, "volume per mass", "L/kg");
}

LitresPerHour parse_litres_per_hour(std::string_view text, Range believable) {
    return one<LitresPerHour>(text, Dimension::per_hour, believable, "volume per hour", "L/h");
}

BitternessUnits parse_bitterness(std::string_view text, Range believable) {
    return one<BitternessUnits>(text, Dimension::bitterness, believable, "bitterness", "IBU");
}

std::string points_as_gravity(double one_and_hundredths) {
    const double points = 100.0 * (one_and_hundredths - 1.0);
    return fmt::format("{} gravity points are written {}", shortest(std::round(10.0 * points) / 10.0),
                       fixed(1.0 + points / 1000.0, 3));
}

TypedGravity parse_gravity(std::string_view text) {
    return read_as(text, Dimension::gravity, [&](const Typed& typed) {
        demand_alone(text, typed, false);
        return gravity_of(text, typed);
    });
}

TypedColour parse_colour(std::string_view text) {
    return read_as(text, Dimension::colour, [&](const Typed& typed) -> TypedColour {
        demand_alone(text, typed, false);
        if (const auto* ebc = std::get_if<Ebc>(&typed.value)) {
            demand(text, ebc->value(), {0.0, 3000.0}, "colour", "EBC");
            return *ebc;
        }
        if (const auto* srm = std::get_if<Srm>(&typed.value)) {
            demand(text, srm->value(), {0.0, 1500.0}, "colour", "SRM");
            return *srm;
        }
        const Lovibond lovibond = std::get<Lovibond>(typed.value);
        demand(text, lovibond.value(), {0.6, 1100.0}, "colour", "L");
        return lovibond;
    });
}

At<Litres> parse_volume_at(std::string_view text) {
    return read_as(text, Dimension::volume, [&](const Typed& typed) {
        demand_alone(text, typed, true);
        const Litres volume = std::get<Litres>(typed.value);
        demand(text, volume.value(), {0.0, 1e6}, "volume", "L");
        return At<Litres>{volume, typed.at};
    });
}

At<TypedGravity> parse_gravity_at(std::string_view text) {
    return read_as(text, Dimension::gravity, [&](const Typed& typed) {
        demand_alone(text, typed, true);
        return At<TypedGravity>{gravity_of(text, typed), typed.at};
    });
}

namespace {

// 3250 of 32.50; none where it is no number, or has more than two decimals.
std::optional<std::int64_t> hundredths_of(std::string_view plain) {
    const auto point = std::min(plain.find('.'), plain.size());
    const std::string_view whole = plain.substr(0, point);
    const std::string_view decimals = point < plain.size() ? plain.substr(point + 1) : "";
    const auto is_digits = [](std::string_view s) {
        return s.find_first_not_of("0123456789") == std::string_view::npos;
    };
    const bool ends_in_point = point < plain.size() && decimals.empty();
    if (whole.empty() || whole.size() > 10 || decimals.size() > 2 || ends_in_point || !is_digits(whole) ||
        !is_digits(decimals))
        return std::nullopt;
    std::int64_t minor = 0;
    for (const char c : std::string(whole) + std::string(decimals)) minor = minor * 10 + (c - '0');
    for (auto i = decimals.size(); i < 2; ++i) minor *= 10;
    return minor;
}

bool has_three_decimals(std::string_view plain) {
    return plain.size() > 4 && plain[plain.size() - 4] == '.';
}

// "write 1.25 or 1250; ": the prices that 1.250 and 1,250 may mean, of which neither is taken unasked.
std::string prices_offered(std::string_view digits, std::vector<std::string> meanings) {
    if (meanings.size() == 1 && has_three_decimals(digits)) { // as a decimal comma's country parts thousands
        meanings.emplace_back(digits);
        std::erase(meanings.back(), '.');
    }
    std::vector<std::string> prices;
    for (std::string& plain : meanings) {
        if (has_three_decimals(plain) && plain.back() == '0') plain.pop_back();
        if (hundredths_of(plain)) prices.push_back(std::move(plain));
    }
    return prices.empty() ? "" : fmt::format("write {}; ", fmt::join(prices, " or "));
}

} // namespace

std::int64_t parse_money_minor(std::string_view text, std::string_view currency) {
    std::string_view rest = text;
    if (!currency.empty() && rest.ends_with(currency)) rest.remove_suffix(currency.size());
    while (rest.ends_with(' ')) rest.remove_suffix(1);
    const bool has_sign = rest.starts_with('-');
    const std::string_view digits = has_sign ? rest.substr(1) : rest;
    const auto meanings = typed_detail::meanings_of_number(digits);
    const std::string plain = meanings.size() == 1 ? meanings.front() : std::string(digits); // 38,50
    const auto minor = hundredths_of(plain);
    if (!minor || has_sign)
        throw Error(ErrorKind::refused, fmt::format("`{}` is not a price in {}", text, currency),
                    minor ? fmt::format("write it without the sign: {}", plain)
                          : fmt::format("{}a price is a number with two decimals at most, in {}",
                                        prices_offered(digits, meanings), currency));
    demand(text, static_cast<double>(*minor) / 100.0, {0.0, 1e9}, "price", currency);
    return *minor;
}

double parse_number(std::string_view text, std::string_view what, Range believable) {
    const std::size_t sign = text.starts_with('-') ? 1 : 0;
    const auto meanings = typed_detail::meanings_of_number(text.substr(sign));
    const std::string plain = // 0,28
        meanings.size() == 1 ? std::string(text.substr(0, sign)) + meanings.front() : std::string(text);
    double value = 0.0;
    const auto [end, fault] = std::from_chars(plain.data(), plain.data() + plain.size(), value);
    if (fault != std::errc() || end != plain.data() + plain.size() || !std::isfinite(value))
        throw Error(ErrorKind::refused, fmt::format("`{}` is not a {}", text, what),
                    "write a plain number, with the point as decimal sign");
    demand(text, value, believable, what, "");
    return value;
}

std::int64_t parse_whole(std::string_view text, std::string_view what, std::int64_t least, std::int64_t most) {
    std::int64_t value = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (fault != std::errc() || end != text.data() + text.size() || value < least || value > most)
        throw Error(ErrorKind::refused, fmt::format("`{}` is not a {}", text, what),
                    fmt::format("write a whole number from {} to {}", least, most));
    return value;
}

} // namespace lotwort
