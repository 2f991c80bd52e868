// Readers of one kind of quantity each, with the range that is believable.
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/core/format.hpp>
#include <lotwort/core/typed.hpp>

namespace lotwort {

namespace {

void demand(std::string_view text, double value, Range believable, std::string_view what, std::string_view unit) {
    if (believable.holds(value)) return;
    // a temperature may be below 0, an amount of anything may not
    if (value < 0.0 && believable.least >= 0.0 && unit != "C" && text.starts_with('-'))
        throw Error(ErrorKind::refused, fmt::format("`{}` is below nothing", text),
                    fmt::format("write it without the sign: {}", text.substr(1)));
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

template <class Value>
Value one(std::string_view text, Dimension dimension, Range believable, std::string_view what, std::string_view unit) {
    const Typed typed = parse_typed(text, dimension);
    demand_alone(text, typed, false);
    const Value value = std::get<Value>(typed.value);
    demand(text, value.value(), believable, what, unit);
    return value;
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
    const Typed typed = parse_typed(text, Dimension::amount);
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
                    fmt::format("write {:.0f}pieces or {:.0f}pieces", std::floor(pieces), std::ceil(pieces)));
    return Amount::pieces(static_cast<std::int64_t>(pieces));
}

Celsius parse_temperature(std::string_view text, Range believable) {
    return one<Celsius>(text, Dimension::temperature, believable, "temperature", "C");
}

Percent parse_percent(std::string_view text, Range believable) {
    return one<Percent>(text, Dimension::percent, believable, "share in per cent", "%");
}

Minutes parse_minutes(std::string_view text, Range believable) {
    if (!text.empty() && text.find_first_not_of("0123456789.") == text.npos) // a boil of 60 is not one of days
        throw Error(ErrorKind::refused, fmt::format("`{}` has no unit", text), fmt::format("write {}min", text));
    return one<Minutes>(text, Dimension::time, believable, "time", "min");
}

int parse_days(std::string_view text, Range believable) {
    if (!text.empty() && text.find_first_not_of("0123456789") == text.npos)
        throw Error(ErrorKind::refused, fmt::format("`{}` has no unit", text), fmt::format("write {}days", text));
    const double days = one<Minutes>(text, Dimension::time, {}, "number of days", "").value() / 1440.0;
    if (days != std::floor(days))
        throw Error(ErrorKind::refused, fmt::format("`{}` is not whole days", text), "write 14days or 2weeks");
    demand(text, days, believable, "number of days", "days");
    return static_cast<int>(days);
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
    const Typed typed = parse_typed(text, Dimension::gravity);
    demand_alone(text, typed, false);
    return gravity_of(text, typed);
}

TypedColour parse_colour(std::string_view text) {
    const Typed typed = parse_typed(text, Dimension::colour);
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
}

At<Litres> parse_volume_at(std::string_view text) {
    const Typed typed = parse_typed(text, Dimension::volume);
    demand_alone(text, typed, true);
    const Litres volume = std::get<Litres>(typed.value);
    demand(text, volume.value(), {0.0, 1e6}, "volume", "L");
    return {volume, typed.at};
}

At<TypedGravity> parse_gravity_at(std::string_view text) {
    const Typed typed = parse_typed(text, Dimension::gravity);
    demand_alone(text, typed, true);
    return {gravity_of(text, typed), typed.at};
}

std::int64_t parse_money_minor(std::string_view text, std::string_view currency) {
    std::string_view rest = text;
    if (!currency.empty() && rest.ends_with(currency)) rest.remove_suffix(currency.size());
    while (rest.ends_with(' ')) rest.remove_suffix(1);
    const auto refuse = [&] {
        throw Error(ErrorKind::refused, fmt::format("`{}` is not a price in {}", text, currency),
                    "write 32.50: two decimals at most, the point as decimal sign, no thousands signs");
    };
    std::int64_t minor = 0;
    int decimals = -1; // digits seen behind the point
    if (rest.empty() || rest.size() > 13 || rest.front() == '.' || rest.back() == '.') refuse();
    for (const char c : rest) {
        if (c == '.' && decimals < 0) {
            decimals = 0;
        } else if (c >= '0' && c <= '9' && decimals < 2) {
            minor = minor * 10 + (c - '0');
            if (decimals >= 0) ++decimals;
        } else {
            refuse();
        }
    }
    for (int i = decimals < 0 ? 0 : decimals; i < 2; ++i) minor *= 10;
    demand(text, static_cast<double>(minor) / 100.0, {0.0, 1e9}, "price", currency);
    return minor;
}

double parse_number(std::string_view text, std::string_view what, Range believable) {
    double value = 0.0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (fault != std::errc() || end != text.data() + text.size() || !std::isfinite(value))
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
