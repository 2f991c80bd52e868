// Density of ethanol and water, the base of every alcohol table.
//
//     rho(p, t) = A1 + sum A_k p^(k-1) + sum B_k (t - 20)^k + sum C_ik p^k (t - 20)^i
//
// p the mass fraction of ethanol, kg/m3. OIML R 22, International Alcoholometric Tables, 1975; also Council
// Directive 76/766/EEC. Range 0 to 100 % and -20 to 40 C; the tables are accurate to about 0.05 kg/m3.
#pragma once

#include <array>
#include <lotwort/core/dual.hpp>
#include <lotwort/core/quantity.hpp>

namespace lotwort::wort {

namespace oiml {

// R 22, table of constants; a row of C for each power of (t - 20).
inline constexpr std::array<double, 12> A{998.20123,   -192.9769495, 389.1238958, -1668.103923,
                                          13522.15441, -88292.78388, 306287.4042, -613838.1234,
                                          747017.2998, -547846.1354, 223446.0334, -39032.85426};
inline constexpr std::array<double, 6> B{-0.20618513,    -0.0052682542, 3.6130013e-05,
                                         -3.8957702e-07, 7.169354e-09,  -9.9739231e-11};
inline constexpr std::array<std::array<double, 11>, 5> C{{
    {0.1693443461530087, -10.46914743455169, 71.96353469546523, -704.7478054272792, 3924.090430035045,
     -12101.64659068747, 22486.46550400788, -26055.62982188164, 18523.73922069467, -7420.201433430137,
     1285.617841998974},
    {-0.0119301300505701, 0.2517399633803461, -2.170575700536993, 13.53034988843029, -50.29988757547014,
     109.635566657757, -142.2753946421155, 108.043594285623, -44.14153236817392, 7.442971530188783},
    {-0.0006802995733503803, 0.01876837790289664, -0.2002561813734156, 1.02299296671922, -2.895696483903638,
     4.810060584300675, -4.672147440794683, 2.458043105903461, -0.5411227621436812},
    {4.075376675622027e-06, -8.76305857347111e-06, 6.515031360099368e-06, -1.51578483698721e-06},
    {-2.788074354782409e-08, 1.345612883493354e-08},
}};

// sum of c[i] x^i
template <std::size_t N, class Real>
[[nodiscard]] constexpr Real polynomial(const std::array<double, N>& c, Real x) {
    Real sum = 0.0;
    for (std::size_t i = N; i-- > 0;) sum = sum * x + c[i];
    return sum;
}

} // namespace oiml

// kg/m3, without a range check.
template <class Fraction, class Temperature>
[[nodiscard]] constexpr auto ethanol_density_kg_m3(Fraction mass_fraction, Temperature temperature_c) {
    const Temperature dt = temperature_c - 20.0;
    Wider<Fraction, Temperature> mixed = 0.0;
    for (std::size_t i = oiml::C.size(); i-- > 0;)
        mixed = (mixed + mass_fraction * oiml::polynomial(oiml::C[i], mass_fraction)) * dt;
    return oiml::polynomial(oiml::A, mass_fraction) + dt * oiml::polynomial(oiml::B, dt) + mixed;
}

// Per cent by volume at 20 C of a mixture of ethanol and water alone, from per cent by mass.
template <class Real>
[[nodiscard]] constexpr Real mixture_volume_pct(Real by_mass_pct) {
    return by_mass_pct * ethanol_density_kg_m3(by_mass_pct / 100.0, 20.0) / ethanol_density_kg_m3(1.0, 20.0);
}

// Error(refused) outside the range.
[[nodiscard]] KilogramsPerCubicMetre ethanol_density(Percent by_mass, Celsius at);
[[nodiscard]] Percent alcohol_by_volume_of_mixture(Percent by_mass);

} // namespace lotwort::wort
