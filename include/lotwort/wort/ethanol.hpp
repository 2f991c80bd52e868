// Density of ethanol and water, the base of every alcohol table.
//
//     rho(p, t) = A1 + sum A_k p^(k-1) + sum B_k (t - 20)^k + sum C_ik p^k (t - 20)^i
//
// p the mass fraction of ethanol, kg/m3. OIML R 22, International Alcoholometric Tables, 1975; also Council
// Directive 76/766/EEC. Range 0 to 100 % and -20 to 40 C; the tables are accurate to about 0.05 kg/m3.
#pragma once

#include <lotwort/core/quantity.hpp>

namespace lotwort::wort {

[[nodiscard]] double ethanol_density_kg_m3(double mass_fraction, double temperature_c);

// Error(refused) outside the range.
[[nodiscard]] KilogramsPerCubicMetre ethanol_density(Percent by_mass, Celsius at);

// Per cent by volume of a mixture of ethanol and water alone, 20 C.
[[nodiscard]] Percent alcohol_by_volume_of_mixture(Percent by_mass);

} // namespace lotwort::wort
