// Specific gravity and degrees Plato, and the several gravities that are called specific gravity.
//
// A sheet that says 1.048 may mean the true ratio of densities at 20 C, or the ratio as weighed in air, which the
// printed tables hold. It may also mean a ratio at 15 C or 60 F, which an older stem shows. They differ by 0.2 points
// at 1.045 and 0.5 at 1.100. Here SpecificGravity is the true ratio 20/20; each of the others is a type of its own.
//
//     S(w)          = rho(w, 20) / rho(0, 20)                     true relative density 20/20
//     S_app(w)      = (rho(w, 20) - 1.2) / (rho(0, 20) - 1.2)     weighed in air of 1.2 kg/m3 (NBS C440)
//     S(w; T/T)     = rho(w, T) / rho(0, T)
//
// all by the sucrose equation with its own water (density.hpp). Range -5 to 95 P; accuracy as there, in
// Plato 0.012 at 20 P and 0.02 at 30 P against NBS C440 table 114.
#pragma once

#include <lotwort/core/quantity.hpp>
#include <lotwort/wort/density.hpp>

namespace lotwort {

namespace unit {
struct apparent_gravity;
struct gravity_60f;
struct gravity_15c;
} // namespace unit

using ApparentGravity = Point<unit::apparent_gravity, GravityDifference>; // 20/20 as weighed in air
using Gravity60F = Point<unit::gravity_60f, GravityDifference>;           // true relative density 60 F/60 F
using Gravity15C = Point<unit::gravity_15c, GravityDifference>;           // true relative density 15/15

} // namespace lotwort

namespace lotwort::wort {

inline constexpr double air_density_kg_m3 = 1.2;        // as in the NBS and ASBC tables
inline constexpr double sixty_fahrenheit_c = 140.0 / 9; // 15.56 C

// True relative density at a base temperature.
template <class Real>
[[nodiscard]] constexpr Real relative_density_of(Real mass_fraction, double base_c) {
    return sucrose_density_kg_m3(mass_fraction, base_c) / Real(icumsa::water_density_kg_m3(base_c));
}

// True relative density 20/20.
template <class Real>
[[nodiscard]] constexpr Real specific_gravity_of(Real mass_fraction) {
    return relative_density_of(mass_fraction, 20.0);
}

// Relative density 20/20 as weighed in air.
template <class Real>
[[nodiscard]] constexpr Real apparent_gravity_of(Real mass_fraction) {
    return (sucrose_density_kg_m3(mass_fraction, 20.0) - air_density_kg_m3) /
           Real(icumsa::water_density_kg_m3(20.0) - air_density_kg_m3);
}

// The inverses, to 1e-13. Error(refused) beyond -10 to 97 P.
template <class Real>
[[nodiscard]] Real mass_fraction_of_relative_density(Real gravity, double base_c) {
    return mass_fraction_of_density(gravity * Real(icumsa::water_density_kg_m3(base_c)), base_c);
}
template <class Real>
[[nodiscard]] Real mass_fraction_of_gravity(Real gravity) {
    return mass_fraction_of_relative_density(gravity, 20.0);
}
template <class Real>
[[nodiscard]] Real mass_fraction_of_apparent_gravity(Real gravity) {
    return mass_fraction_of_density(
        gravity * Real(icumsa::water_density_kg_m3(20.0) - air_density_kg_m3) + Real(air_density_kg_m3), 20.0);
}

// Each refuses (Error) what lies outside -5 to 95 P and names the range in its own unit.
[[nodiscard]] SpecificGravity specific_gravity(Plato extract);
[[nodiscard]] ApparentGravity apparent_gravity(Plato extract);
[[nodiscard]] Gravity60F gravity_60f(Plato extract);
[[nodiscard]] Gravity15C gravity_15c(Plato extract);
[[nodiscard]] Plato plato(SpecificGravity gravity);
[[nodiscard]] Plato plato(ApparentGravity gravity);
[[nodiscard]] Plato plato(Gravity60F gravity);
[[nodiscard]] Plato plato(Gravity15C gravity);

} // namespace lotwort::wort
