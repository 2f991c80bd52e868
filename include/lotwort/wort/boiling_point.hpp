// At what temperature liquor boils up the hill.
//
// In the mountains the air presses less and the kettle boils cooler, and hops isomerise more slowly: at 1500 m near 95
// C, where an hour does what 40 minutes do at the sea (isomerisation.hpp). Pressure by altitude is the standard
// atmosphere's, boiling by the vapour pressure of water:
//
//     p(h) = 101325 (1 - 0.0065 h/288.15)^5.255877                 ICAO Doc 7488, ISO 2533:1975, below 11 km
//     ln(p/pc) = (Tc/T) (a1 v + a2 v^1.5 + a3 v^3 + a4 v^3.5 + a5 v^4 + a6 v^7.5),   v = 1 - T/Tc
//
// W. Wagner and A. Pruss, J. Phys. Chem. Ref. Data 22 (1993) 783-787 (IAPWS SR1-86), within 1e-4 of IAPWS-95 from 0 to
// 150 C (tests/golden/boiling_point.tsv). Weather moves the pressure by 1 % and the boil by 0.3 C, one standard
// deviation. Wort boils some 0.2 C hotter than water, which is not counted: the published utilisation curves were
// found in wort. The templates are in plain numbers, Real double or Dual<N>, and unchecked.
#pragma once

#include <lotwort/core/dual.hpp>
#include <lotwort/core/quantity.hpp>

namespace lotwort::wort {

inline constexpr double standard_pressure_pa = 101325.0;
inline constexpr double weather_sd_c = 0.3; // of the boiling point
inline constexpr double zero_celsius_k = 273.15;

template <class Real>
[[nodiscard]] Real pressure_at_altitude_pa(Real altitude_m) {
    using std::pow;
    return standard_pressure_pa * pow(1.0 - altitude_m * (0.0065 / 288.15), 5.255877);
}

// Vapour pressure of water at t in C.
template <class Real>
[[nodiscard]] Real saturation_pressure_pa(Real t) {
    using std::exp;
    using std::sqrt;
    constexpr double critical_k = 647.096, critical_pa = 22.064e6;
    const Real kelvin = t + zero_celsius_k;
    const Real v = 1.0 - kelvin / critical_k;
    const Real root = sqrt(v), cube = v * v * v;
    const Real sum = v * (-7.85951783 + 1.84408259 * root) +
                     cube * (-11.7866497 + 22.6807411 * root - 15.9618719 * v + 1.80122502 * cube * v * root);
    return critical_pa * exp(critical_k / kelvin * sum);
}

// The temperature in C at which water boils under that pressure, to 1e-11; 620 Pa to 470 kPa (0.2 to 149 C),
// Error(refused) outside.
[[nodiscard]] double solve_boiling_c(double pressure_pa);
template <class Real>
[[nodiscard]] Real boiling_c(Real pressure_pa) {
    const auto t = Dual<1>::parameter(solve_boiling_c(value_of(pressure_pa)), 0);
    const auto there = saturation_pressure_pa(t);
    return Real(t.value) + (pressure_pa - there.value) / there.slope[0];
}

// Error(refused) outside -500 to 6000 m.
[[nodiscard]] Celsius boiling_point(Metres altitude = Metres(0.0));

} // namespace lotwort::wort
