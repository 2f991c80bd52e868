// The density of water, for gravity's zero and for what hot liquor shrinks to.
//
// Below 40 C by Tanaka et al. 2001, the metrologists' table; above it by Kell 1975, which reaches the boil.
// Both are at 101.325 kPa. At 40 C Kell lies 0.0006 kg/m3 above Tanaka. The step is spread over 35 to 40 C, where
// both hold, by the weight s = u^2 (3 - 2u), u = (t - 35)/5. Value and slope run through, and nowhere is the result
// farther from either than they are from each other.
//
// Accuracy against IAPWS-95: 0.002 kg/m3 to 40 C, 0.016 above (tests/golden/water_density.tsv). In a ratio of
// two densities use one formula for both: that is why water_contraction is Kell throughout.
#pragma once

#include <lotwort/core/dual.hpp>
#include <lotwort/core/quantity.hpp>

namespace lotwort::wort {

// kg/m3 at t in C; air-free, 0 to 40 C. M. Tanaka et al., Metrologia 38 (2001) 301-309, eq. 1.
//     rho = a5 [1 - (t + a1)^2 (t + a2) / (a3 (t + a4))]
template <class Real>
[[nodiscard]] constexpr Real water_tanaka_kg_m3(Real t) {
    constexpr double a1 = -3.983035, a2 = 301.797, a3 = 522528.9, a4 = 69.34881, a5 = 999.97495;
    return a5 * (1.0 - (t + a1) * (t + a1) * (t + a2) / (a3 * (t + a4)));
}

// The same saturated with air, as tap water stands: -4.612e-3 + 0.106e-3 t, 0 to 25 C in the paper; the
// correction is below 0.005 kg/m3 everywhere.
template <class Real>
[[nodiscard]] constexpr Real water_tanaka_aerated_kg_m3(Real t) {
    return water_tanaka_kg_m3(t) - 4.612e-3 + 0.106e-3 * t;
}

// kg/m3 at t in C, 0 to 150 C. G. S. Kell, J. Chem. Eng. Data 20 (1975) 97-105. The denominator's 16.879850e-3
// is printed 16.897850e-3 in some later copies, 0.63 kg/m3 low at 100 C.
template <class Real>
[[nodiscard]] constexpr Real water_kell_kg_m3(Real t) {
    return (999.83952 +
            t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 + t * -280.54253e-12))))) /
           (1.0 + 16.879850e-3 * t);
}

// The two joined, without a range check.
template <class Real>
[[nodiscard]] constexpr Real water_density_kg_m3(Real t) {
    if (value_of(t) <= 35.0) return water_tanaka_kg_m3(t);
    if (value_of(t) >= 40.0) return water_kell_kg_m3(t);
    const Real u = (t - 35.0) / 5.0;
    const Real s = u * u * (3.0 - 2.0 * u);
    return (1.0 - s) * water_tanaka_kg_m3(t) + s * water_kell_kg_m3(t);
}

// Tanaka and Kell joined, 0 to 100 C. Error(refused) outside.
[[nodiscard]] KilogramsPerCubicMetre water_density(Celsius at);

// Air-saturated, 0 to 40 C. Error(refused) outside.
[[nodiscard]] KilogramsPerCubicMetre aerated_water_density(Celsius at);

// What one litre of water at `from` measures at `to`: rho(from)/rho(to) by Kell; 100 to 20 C is 0.96009.
[[nodiscard]] double water_contraction(Celsius from, Celsius to = Celsius(20.0));

} // namespace lotwort::wort
