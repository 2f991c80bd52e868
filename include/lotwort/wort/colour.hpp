// Beer colour from the malts, in EBC or SRM units.
//
// Each malt counts by mass, by its own colour and by the wort it goes into (malt colour units, MCU); the beer
// darkens less than in proportion, and Morey's curve says how much less:
//
//     SRM = 1.4922 MCU^0.6859,   MCU = lb * Lovibond / US gallon
//     EBC = 1.97 SRM,            Lovibond of a malt = (EBC/1.97 + 0.76)/1.3546
//
// D. A. Morey, Brewing Techniques web article. Valid below 50 SRM (98 EBC, 167 MCU); above, the curve is only
// extrapolated. No accuracy was published; colour from the sheet is seldom better than 15 %. 1.97 is printed;
// the definitions EBC = 25 A430 and SRM = 12.7 A430 give 1.9685 (0.08 % less).
#pragma once

#include <cmath>
#include <lotwort/core/dual.hpp>
#include <lotwort/core/quantity.hpp>

namespace lotwort {
namespace unit {
struct srm;
struct lovibond;
struct malt_colour_unit;
} // namespace unit
using Srm = Quantity<unit::srm>;                          // colour of beer
using Lovibond = Quantity<unit::lovibond>;                // colour of malt
using MaltColourUnits = Quantity<unit::malt_colour_unit>; // lb * Lovibond / US gallon
} // namespace lotwort

namespace lotwort::wort {

inline constexpr double ebc_per_srm = 1.97;
inline constexpr double kilograms_per_pound = 0.45359237;   // exact
inline constexpr double litres_per_us_gallon = 3.785411784; // exact
inline constexpr double morey_limit_srm = 50.0;

[[nodiscard]] constexpr Ebc to_ebc(Srm colour) {
    return Ebc(colour.value() * ebc_per_srm);
}
[[nodiscard]] constexpr Srm to_srm(Ebc colour) {
    return Srm(colour.value() / ebc_per_srm);
}
// 1 cm cell, 430 nm
[[nodiscard]] constexpr Ebc ebc_of_absorbance(double a430) {
    return Ebc(25.0 * a430);
}
[[nodiscard]] constexpr Srm srm_of_absorbance(double a430) {
    return Srm(12.7 * a430);
}

// A malt's colour. The line is for malts; a malt paler than 1.5 EBC does not exist.
template <class Real>
[[nodiscard]] constexpr Real lovibond_of_ebc(Real ebc) {
    return (ebc / ebc_per_srm + 0.76) / 1.3546;
}
template <class Real>
[[nodiscard]] constexpr Real ebc_of_lovibond(Real lovibond) {
    return (1.3546 * lovibond - 0.76) * ebc_per_srm;
}
[[nodiscard]] constexpr Lovibond malt_lovibond(Ebc colour) {
    return Lovibond(lovibond_of_ebc(colour.value()));
}
[[nodiscard]] constexpr Ebc malt_ebc(Lovibond colour) {
    return Ebc(ebc_of_lovibond(colour.value()));
}

// One malt's colour units in volume_l of beer.
template <class Mass, class Colour, class Volume>
[[nodiscard]] constexpr auto malt_colour_units(Mass mass_kg, Colour lovibond, Volume volume_l) {
    return mass_kg * lovibond * (litres_per_us_gallon / kilograms_per_pound) / volume_l;
}

// Beer colour in EBC from the sum of the malts' colour units; 0 at 0, where the curve has no slope.
template <class Real>
[[nodiscard]] Real morey_ebc(Real colour_units) {
    using std::pow;
    if (!(value_of(colour_units) > 0.0)) return Real(0.0);
    return Real(ebc_per_srm * 1.4922) * pow(colour_units, 0.6859);
}

// The colour units of a beer, the inverse of morey_ebc; 0 at 0.
template <class Real>
[[nodiscard]] Real morey_colour_units(Real ebc) {
    using std::pow;
    if (!(value_of(ebc) > 0.0)) return Real(0.0);
    return pow(ebc / (ebc_per_srm * 1.4922), 1.0 / 0.6859);
}

// Error(refused) where the volume is nothing.
[[nodiscard]] MaltColourUnits malt_colour_units(Kilograms mass, Lovibond colour, Litres volume);
[[nodiscard]] Ebc beer_colour(MaltColourUnits units);
// The colour units that give a beer of that colour.
[[nodiscard]] MaltColourUnits colour_units_for(Ebc beer);

} // namespace lotwort::wort
