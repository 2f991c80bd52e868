#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/amount.hpp>
#include <lotwort/core/error.hpp>

namespace lotwort {

namespace {

constexpr std::int64_t milli = 1'000;     // mg in a gram, uL in a millilitre
constexpr std::int64_t micro = 1'000'000; // mg in a kilogram, uL in a litre

std::int64_t nearest(double value) {
    // beyond this a double no longer tells neighbouring milligrams apart
    LOTWORT_CHECK(std::isfinite(value) && std::abs(value) < 9.0e15);
    return std::llround(value);
}

// The exact decimal of units / per, without trailing zeros: 25, 0.5, 12.345678.
std::string decimal(std::int64_t units, std::int64_t per) {
    const bool negative = units < 0;
    const auto size = negative ? 0 - static_cast<std::uint64_t>(units) : static_cast<std::uint64_t>(units);
    const auto whole = size / static_cast<std::uint64_t>(per);
    const auto rest = size % static_cast<std::uint64_t>(per);
    std::string text = (negative ? "-" : "") + std::to_string(whole);
    if (rest == 0) return text;
    std::string digits = std::to_string(static_cast<std::uint64_t>(per) + rest); // the 1 before them keeps their zeros
    digits.front() = '.';
    digits.erase(digits.find_last_not_of('0') + 1);
    return text + digits;
}

std::string in_units(std::int64_t units, const char* small, const char* large) {
    const bool is_small = units > -micro && units < micro && units != 0;
    return is_small ? decimal(units, milli) + " " + small : decimal(units, micro) + " " + large;
}

} // namespace

Amount Amount::of(Kilograms mass) {
    return {Measure::mass, nearest(mass.value() * 1e6)};
}

Amount Amount::of(Grams mass) {
    return {Measure::mass, nearest(mass.value() * 1e3)};
}

Amount Amount::of(Litres volume) {
    return {Measure::volume, nearest(volume.value() * 1e6)};
}

Kilograms Amount::kilograms() const {
    LOTWORT_CHECK(measure == Measure::mass);
    return Kilograms(static_cast<double>(units) / 1e6);
}

Grams Amount::grams() const {
    LOTWORT_CHECK(measure == Measure::mass);
    return Grams(static_cast<double>(units) / 1e3);
}

Litres Amount::litres() const {
    LOTWORT_CHECK(measure == Measure::volume);
    return Litres(static_cast<double>(units) / 1e6);
}

Amount operator+(Amount a, Amount b) {
    LOTWORT_CHECK(a.measure == b.measure);
    std::int64_t sum = 0;
    LOTWORT_CHECK(!__builtin_add_overflow(a.units, b.units, &sum));
    return {a.measure, sum};
}

Amount operator-(Amount a, Amount b) {
    LOTWORT_CHECK(a.measure == b.measure);
    std::int64_t difference = 0;
    LOTWORT_CHECK(!__builtin_sub_overflow(a.units, b.units, &difference));
    return {a.measure, difference};
}

Amount operator-(Amount a) {
    return Amount{a.measure, 0} - a;
}

bool operator<(Amount a, Amount b) {
    LOTWORT_CHECK(a.measure == b.measure);
    return a.units < b.units;
}

std::string to_text(Amount amount) {
    switch (amount.measure) {
    case Measure::mass:
        return in_units(amount.units, "g", "kg");
    case Measure::volume:
        return in_units(amount.units, "ml", "L");
    case Measure::count:
        return fmt::format("{} {}", amount.units, amount.units == 1 ? "piece" : "pieces");
    }
    report_bug("amount has a measure", std::source_location::current());
}

} // namespace lotwort
