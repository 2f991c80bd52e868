// Quantities with units as types.
//
// A brewer's mistake is often a right number under a wrong unit: 20 read as plato where Brix was meant, a
// temperature where a difference was wanted. Each unit used at an interface is therefore a type of its own,
// holding one double in the unit its name says. Nothing converts by itself: a raw double does not become a
// quantity, and one unit does not become another, without the function that says how.
#pragma once

#include <compare>

namespace lotwort {

// A quantity that adds and scales (mass, volume, a difference). value() is in the unit of the type's name.
template <class Unit>
class Quantity {
public:
    constexpr Quantity() = default;
    constexpr explicit Quantity(double value) : value_(value) {}
    [[nodiscard]] constexpr double value() const { return value_; }

    friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.value_ + b.value_); }
    friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.value_ - b.value_); }
    friend constexpr Quantity operator-(Quantity a) { return Quantity(-a.value_); }
    friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(k * a.value_); }
    friend constexpr Quantity operator*(Quantity a, double k) { return Quantity(k * a.value_); }
    friend constexpr Quantity operator/(Quantity a, double k) { return Quantity(a.value_ / k); }
    friend constexpr double operator/(Quantity a, Quantity b) { return a.value_ / b.value_; }
    friend constexpr auto operator<=>(Quantity, Quantity) = default;

private:
    double value_ = 0.0;
};

// A point on a scale (a temperature, a gravity): two points subtract to a difference, and do not add.
template <class Scale, class Difference>
class Point {
public:
    constexpr Point() = default;
    constexpr explicit Point(double value) : value_(value) {}
    [[nodiscard]] constexpr double value() const { return value_; }

    friend constexpr Difference operator-(Point a, Point b) { return Difference(a.value_ - b.value_); }
    friend constexpr Point operator+(Point a, Difference d) { return Point(a.value_ + d.value()); }
    friend constexpr Point operator-(Point a, Difference d) { return Point(a.value_ - d.value()); }
    friend constexpr auto operator<=>(Point, Point) = default;

private:
    double value_ = 0.0;
};

namespace unit {
struct kilogram;
struct gram;
struct litre;
struct celsius_difference;
struct celsius;
struct gravity_difference;
struct gravity;
struct plato;
struct brix;
struct kilogram_per_cubic_metre;
struct percent;
struct ebc;
struct windisch_kolbach;
struct minute;
struct litre_per_kilogram;
struct litre_per_hour;
struct metre;
struct centimetre;
struct millimetre;
struct ibu;
} // namespace unit

using Kilograms = Quantity<unit::kilogram>;
using Grams = Quantity<unit::gram>;
using Litres = Quantity<unit::litre>; // at 20 C unless a temperature stands beside it
using CelsiusDifference = Quantity<unit::celsius_difference>;
using Celsius = Point<unit::celsius, CelsiusDifference>;
using GravityDifference = Quantity<unit::gravity_difference>;            // 0.001 is one gravity point
using SpecificGravity = Point<unit::gravity, GravityDifference>;         // true relative density 20/20
using Plato = Quantity<unit::plato>;                                     // extract, per cent by mass
using Brix = Quantity<unit::brix>;                                       // what a refractometer shows
using KilogramsPerCubicMetre = Quantity<unit::kilogram_per_cubic_metre>; // density
using Percent = Quantity<unit::percent>;                                 // 4.2 is 4.2 %
using Ebc = Quantity<unit::ebc>;                                         // colour
using WindischKolbach = Quantity<unit::windisch_kolbach>;                // diastatic power
using Minutes = Quantity<unit::minute>;
using LitresPerKilogram = Quantity<unit::litre_per_kilogram>;
using LitresPerHour = Quantity<unit::litre_per_hour>;
using Metres = Quantity<unit::metre>;
using Centimetres = Quantity<unit::centimetre>;
using Millimetres = Quantity<unit::millimetre>;
using BitternessUnits = Quantity<unit::ibu>; // mg iso-alpha acid per litre, IBU

[[nodiscard]] constexpr Kilograms to_kilograms(Grams mass) {
    return Kilograms(mass.value() / 1000.0);
}
[[nodiscard]] constexpr Grams to_grams(Kilograms mass) {
    return Grams(mass.value() * 1000.0);
}

} // namespace lotwort
