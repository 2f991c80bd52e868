// Bitterness from hops in the boil.
//
// How much of a hop's alpha acid ends in the beer as bitterness depends on how long it boils and how strong
// the wort is. Tinseth's published table and its formula:
//
//     U = 1.65 * 0.000125^(SG - 1) * (1 - exp(-0.04 min)) / 4.15
//     IBU = U * alpha acid in mg / litres
//
// G. Tinseth, hop utilisation numbers, 1995. SG is the mean of kettle full and cast-out, true SG 20/20. The table
// runs over 1.030 to 1.130 and 0 to 120 min (three decimals, tests/golden/tinseth.tsv); a brewhouse may differ by
// a fifth, which is why its own factor is worth finding.
#pragma once

#include <cmath>
#include <lotwort/core/dual.hpp>
#include <lotwort/core/quantity.hpp>

namespace lotwort::wort {

// Utilisation as a fraction of the alpha acid.
template <class Real>
[[nodiscard]] Real tinseth_utilisation(Real gravity, double boil_minutes) {
    using std::exp;
    constexpr double ln_base = -8.987196820661973; // ln 0.000125
    return Real(1.65 / 4.15 * (1.0 - std::exp(-0.04 * boil_minutes))) * exp(Real(ln_base) * (gravity - 1.0));
}

// mg/L of iso-alpha acid from a mass of hops.
template <class Real>
[[nodiscard]] constexpr Real bitterness_ibu(Real mass_g, Real alpha_pct, Real utilisation, Real volume_l) {
    return utilisation * mass_g * alpha_pct * Real(10.0) / volume_l;
}

// Error(refused) for negative minutes or a gravity outside 0.99 to 1.2.
[[nodiscard]] double utilisation(SpecificGravity gravity, Minutes boil);

// Error(refused) where the volume is nothing.
[[nodiscard]] BitternessUnits bitterness(Grams hops, Percent alpha, double utilisation, Litres beer);

// The hops that give that bitterness. Error(refused) where the alpha or the utilisation is nothing.
[[nodiscard]] Grams hops_for(BitternessUnits bitterness, Percent alpha, double utilisation, Litres beer);

} // namespace lotwort::wort
