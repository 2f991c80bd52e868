// How much a litre of wort weighs.
//
// Everything a brewer reads off a stem or a dip stick is a density or a volume; extract is neither. Wort is
// treated as a sucrose solution of the same extract, as the trade's own tables are (Balling, Plato, NBS).
//
//     rho(w, t) = rho_w(t) + sum_i tau^(i-1) sum_k B[i][k] w^k,   tau = (t - 20)/100, w a mass fraction
//
// ICUMSA SPS-4, printed in Bubnik et al., Sugar Technologists Manual, 8th ed. 1995, p. 164. Range 0 to 100 C
// and 0 to 95 %; it runs on smoothly to -10 % for the apparent extract of beer, which alcohol makes lighter
// than water. Against NBS C440 table 114 within 6e-5 in relative density up to 20 %, 9e-5 at 30 %
// (tests/golden/nbs440.tsv).
//
// The equation carries its own water term. It is 0.004 kg/m3 away from the water formulas of water.hpp:
// never divide the one by the other.
#pragma once

#include <array>
#include <lotwort/core/dual.hpp>
#include <lotwort/core/quantity.hpp>
#include <type_traits>

namespace lotwort::wort {

// Least and most extract and temperature that the functions on quantities take (Error(refused) outside).
inline constexpr double least_plato = -5.0, most_plato = 95.0;
inline constexpr double least_wort_c = 0.0, most_wort_c = 100.0;

namespace icumsa {

// The water term: Kell's form on ITS-90, kg/m3.
template <class Real>
[[nodiscard]] constexpr Real water_density_kg_m3(Real t) {
    constexpr double d = 0.016887236;
    return (999.83952 +
            t * (16.952577 + t * (-7.9905127e-3 + t * (-4.6241757e-5 + t * (1.0584601e-7 + t * -2.8103006e-10))))) /
           (1.0 + d * t);
}

inline constexpr std::array<std::array<double, 6>, 5> B{{
    {385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890},
    {-46.2720, -7.1720, 1.1597, 5.1126, 17.5254, 0.0},
    {59.7712, 7.2491, 12.3630, -35.4791, 0.0, 0.0},
    {-47.2207, -21.6977, 27.6301, 0.0, 0.0, 0.0},
    {18.3184, 12.3081, 0.0, 0.0, 0.0, 0.0},
}};

// The coefficients of w, w^2, ... w^6 at a temperature.
template <class Real>
[[nodiscard]] constexpr std::array<Real, 6> at_temperature(Real temperature_c) {
    const Real tau = (temperature_c - 20.0) / 100.0;
    std::array<Real, 6> b{};
    for (std::size_t k = 0; k < b.size(); ++k)
        for (std::size_t i = B.size(); i-- > 0;) b[k] = b[k] * tau + B[i][k];
    return b;
}

} // namespace icumsa

template <class Real>
inline constexpr bool carries_slopes = false;
template <std::size_t N>
inline constexpr bool carries_slopes<Dual<N>> = N > 1;

// Density in kg/m3 of a sucrose solution; mass_fraction 0.12 is 12 P. Both are double or Dual<N>. No range check:
// for balances that are differentiated.
template <class Fraction, class Temperature>
[[nodiscard]] constexpr auto sucrose_density_kg_m3(Fraction mass_fraction, Temperature temperature_c) {
    if constexpr (std::is_same_v<Temperature, double> && carries_slopes<Fraction>) {
        // one variable: its one slope first, then handed on to all
        const auto one = sucrose_density_kg_m3(Dual<1>::parameter(mass_fraction.value, 0), temperature_c);
        return mass_fraction.chain(one.value, one.slope[0]);
    }
    const auto b = icumsa::at_temperature(temperature_c);
    Wider<Fraction, Temperature> sum = 0.0;
    for (std::size_t k = b.size(); k-- > 0;) sum = (sum + b[k]) * mass_fraction;
    return sum + icumsa::water_density_kg_m3(temperature_c);
}

// d rho / d mass_fraction, kg/m3. Positive everywhere in the range: density tells extract.
[[nodiscard]] constexpr double sucrose_density_slope(double mass_fraction, double temperature_c) {
    return sucrose_density_kg_m3(Dual<1>::parameter(mass_fraction, 0), temperature_c).slope[0];
}

// The mass fraction of that density at that temperature, to 1e-13, by Newton's method from the equation's first two
// terms, and inside a bracket where that leads astray. Error(refused) where no extract from -10 to 97 % has it.
[[nodiscard]] double solve_mass_fraction(double density_kg_m3, double temperature_c);

// The same with slopes: one more Newton step on the full scalars leaves the value and hands the slopes on.
template <class Density, class Temperature>
[[nodiscard]] auto mass_fraction_of_density(Density density_kg_m3, Temperature temperature_c) {
    const double w = solve_mass_fraction(value_of(density_kg_m3), value_of(temperature_c));
    if constexpr (std::is_same_v<Wider<Density, Temperature>, double>)
        return w;
    else
        return w + (density_kg_m3 - sucrose_density_kg_m3(w, temperature_c)) /
                       sucrose_density_slope(w, value_of(temperature_c));
}

// Density of wort. Error(refused) outside -5 to 95 P or 0 to 100 C.
[[nodiscard]] KilogramsPerCubicMetre wort_density(Plato extract, Celsius at);

// Extract of a wort of that density. Error(refused) outside the range that wort_density takes.
[[nodiscard]] Plato plato_of_density(KilogramsPerCubicMetre density, Celsius at);

} // namespace lotwort::wort
