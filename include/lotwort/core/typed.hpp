// What people type: a number with its unit, as one writes it on a brew sheet.
//
//     25kg  500g  1.2 kg  55lb  2oz        23L  500ml  5hl  6gal(US)  5gal(UK)  40pt(UK)
//     1.048  12P  12°P  11.8Bx             65C  149F        6EBC  3.5SRM  3°L
//     81.5%  60min  1h30  14days  12cm  1galUS/h     28L@95C (at a temperature)
//     1.048±0.001 (with its standard uncertainty)    11%±0.3 (the same behind the unit, in that unit)
//
// One parser reads them all, strictly: an exponent is fine (1e3), nothing may stand behind the unit. The decimal sign
// is the point; a comma, and signs between thousands, are taken where they mean one thing: 2,5kg, 1.250,5kg and 1
// 250kg. 1,250kg is refused where both of its numbers are believable. A unit is required wherever two readings are
// possible; a plain gallon is refused, since there are two. What is refused is an Error(refused). Its hint holds what
// was meant, in a spelling that is taken, or else no figure but examples ("such as"). What is not believable of a
// brewery (an original gravity of 1.5) is refused with the range that is.
#pragma once

#include <cstdint>
#include <lotwort/core/amount.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

namespace lotwort {

namespace unit {
struct srm;
struct lovibond;
struct points_per_pound_gallon;
struct piece;
struct bare;
} // namespace unit

using Srm = Quantity<unit::srm>;                                      // colour of beer, the American scale
using Lovibond = Quantity<unit::lovibond>;                            // colour of malt
using PointsPerPoundGallon = Quantity<unit::points_per_pound_gallon>; // extract, pound and US gallon
using Pieces = Quantity<unit::piece>;
using Bare = Quantity<unit::bare>; // a number without a unit

// In the unit of the type, whatever was typed: 500g is Kilograms(0.5), 149F is Celsius(65).
// A number alone between 0.98 and 1.2 is a specific gravity, any other number alone is Bare.
using TypedValue = std::variant<Bare, Kilograms, Litres, Pieces, SpecificGravity, Plato, Brix, KilogramsPerCubicMetre,
                                Celsius, Ebc, Srm, Lovibond, Percent, Minutes, Centimetres, LitresPerKilogram,
                                PointsPerPoundGallon, LitresPerHour, WindischKolbach, BitternessUnits>;

struct Typed {
    TypedValue value;
    std::optional<double> sd;  // one standard deviation, in the unit of the value's type
    std::optional<Celsius> at; // 28L@95C
    friend bool operator==(const Typed&, const Typed&) = default;
};

// What the reader of an option expects; it settles what 3L is.
enum class Dimension {
    any, // L is litres
    mass,
    volume,
    amount, // a mass, a volume or a number of pieces
    gravity,
    temperature,
    colour, // L is degrees Lovibond
    percent,
    time,
    length,
    per_mass,  // L/kg
    per_hour,  // L/h
    extract,   // %, L/kg (litre-degrees) or ppg
    enzymes,   // WK
    bitterness // IBU
};

// Everything that may be typed, the sd and the temperature included. Where the dimension is not `any`, another
// unit is refused. No range is checked but that of a temperature behind @ (-80 to 120 °C).
[[nodiscard]] Typed parse_typed(std::string_view text, Dimension expected = Dimension::any);

// A unit and what may stand behind it, as it is typed apart from its number: the kg of `5 kg`, the L@95C of `28 L@95C`.
[[nodiscard]] bool is_unit(std::string_view word);

// The range is inclusive and in the unit of the result. None of these takes an sd or a temperature.
[[nodiscard]] Kilograms parse_mass(std::string_view text, Range believable = {0.0, 1e6});
[[nodiscard]] Litres parse_volume(std::string_view text, Range believable = {0.0, 1e6});
[[nodiscard]] Amount parse_amount(std::string_view text); // 25kg, 5L, 3pieces; not negative
[[nodiscard]] Celsius parse_temperature(std::string_view text, Range believable = {-80.0, 120.0});
[[nodiscard]] Percent parse_percent(std::string_view text, Range believable = {0.0, 100.0});
[[nodiscard]] Minutes parse_minutes(std::string_view text, Range believable = {0.0, 100000.0});
[[nodiscard]] int parse_days(std::string_view text, Range believable = {0.0, 36500.0}); // whole days: 14days, 2weeks
[[nodiscard]] Centimetres parse_length(std::string_view text, Range believable = {0.0, 600000.0});
[[nodiscard]] LitresPerKilogram parse_litres_per_kilogram(std::string_view text, Range believable = {0.0, 400.0});
[[nodiscard]] LitresPerHour parse_litres_per_hour(std::string_view text, Range believable = {0.0, 1e5});
[[nodiscard]] BitternessUnits parse_bitterness(std::string_view text, Range believable = {0.0, 200.0});

// What a brewery's wort and beer may show; the one range for every reading that is typed.
inline constexpr Range believable_sg{0.98, 1.2}, believable_plato{-5.0, 45.0}, believable_brix{-1.0, 45.0};

// "42 gravity points are written 1.042", for who has typed 1.42.
[[nodiscard]] std::string points_as_gravity(double one_and_hundredths);

// Within these. What was typed is kept apart: the three are not one
// another without the density of wort (room wort).
using TypedGravity = std::variant<SpecificGravity, Plato, Brix>;
[[nodiscard]] TypedGravity parse_gravity(std::string_view text);

// 0 to 3000 EBC, or as many SRM or degrees Lovibond as that is about.
using TypedColour = std::variant<Ebc, Srm, Lovibond>;
[[nodiscard]] TypedColour parse_colour(std::string_view text);

// A reading with the temperature it was taken at: 28L@95C, 1.040@20C.
template <class Value>
struct At {
    Value value;
    std::optional<Celsius> at;
};
[[nodiscard]] At<Litres> parse_volume_at(std::string_view text);
[[nodiscard]] At<TypedGravity> parse_gravity_at(std::string_view text);

// 32.50 or 32,50, or with the ledger's currency behind it, in hundredths; not negative, at most 1e9.
[[nodiscard]] std::int64_t parse_money_minor(std::string_view text, std::string_view currency);

// A number that has no unit (a storage index, a number of packs). `what` names it in the refusal.
[[nodiscard]] double parse_number(std::string_view text, std::string_view what, Range believable);
[[nodiscard]] std::int64_t parse_whole(std::string_view text, std::string_view what, std::int64_t least,
                                       std::int64_t most);

} // namespace lotwort
