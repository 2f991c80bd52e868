// Alcohol from what the wort held and what the stem shows in the beer.
//
// The stem in beer is lifted less because alcohol is light: it shows the apparent extract, less than is left.
// Balling found that of 2.0665 g extract fermented 1 g becomes alcohol, 0.9565 g carbon dioxide and 0.11 g yeast:
//
//     real extract     n = 0.1808 OE + 0.8192 AE
//     alcohol by mass  A = (OE - n) / (2.0665 - 0.010665 OE)
//     original extract OE = 100 (2.0665 A + n) / (100 + 1.0665 A)
//     alcohol by volume  = A * rho(beer, 20) / rho(ethanol, 20),   rho(beer, 20) = rho(AE, 20)
//
// C. J. N. Balling, Die Bierbrauerei, 1865; ethanol 789.24 kg/m3 by OIML R 22. All in per cent by mass. Range: OE to
// 35 P. Accuracy: published rules differ by up to 2 % of the alcohol (Balling's own table lies 0.4 % below at 6 P,
// 0.9 % at 12 P, 1.6 % at 20 P; Cutaia et al. 2009, on 532 brews, 1.8 % below at 12 P): take +-2 % of the value.
#pragma once

#include <lotwort/core/quantity.hpp>
#include <lotwort/wort/density.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort::wort {

inline constexpr double ethanol_20c_kg_m3 = 789.239; // OIML R 22; a test holds it to ethanol.hpp
inline constexpr double alcohol_rule_spread = 0.02;  // of the alcohol, between published rules
inline constexpr double balling_real_share = 0.8192;

// The templates are in degrees and per cent, Real is double or Dual<N>.
template <class Real>
[[nodiscard]] constexpr Real balling_real_extract(Real original, Real apparent) {
    return Real(1.0 - balling_real_share) * original + Real(balling_real_share) * apparent;
}

template <class Real>
[[nodiscard]] constexpr Real balling_alcohol_by_mass(Real original, Real real) {
    return (original - real) / (Real(2.0665) - Real(0.010665) * original);
}

template <class Real>
[[nodiscard]] constexpr Real balling_original_extract(Real alcohol_by_mass, Real real) {
    return Real(100.0) * (Real(2.0665) * alcohol_by_mass + real) / (Real(100.0) + Real(1.0665) * alcohol_by_mass);
}

// Alcohol by volume, per cent, from original and apparent extract.
template <class Real>
[[nodiscard]] constexpr Real alcohol_by_volume_pct(Real original, Real apparent) {
    const Real by_mass = balling_alcohol_by_mass(original, balling_real_extract(original, apparent));
    return by_mass * sucrose_density_kg_m3(apparent / Real(100.0), 20.0) / Real(ethanol_20c_kg_m3);
}

// Apparent extract after a given apparent attenuation (a fraction).
template <class Real>
[[nodiscard]] constexpr Real apparent_extract_after(Real original, Real attenuation) {
    return original * (Real(1.0) - attenuation);
}

// Error(refused): original outside 0 to 35 P, apparent or real outside -5 P to the original.
[[nodiscard]] Plato real_extract(Plato original, Plato apparent);
[[nodiscard]] Percent alcohol_by_mass(Plato original, Plato apparent);
[[nodiscard]] Percent alcohol_by_volume(Plato original, Plato apparent);
[[nodiscard]] Percent alcohol_by_volume(SpecificGravity original, SpecificGravity final);
[[nodiscard]] Plato original_extract(Percent alcohol_by_mass, Plato real);

// 100 (OE - AE)/OE and 100 (OE - n)/OE. Error(refused) also where there was no extract.
[[nodiscard]] Percent apparent_attenuation(Plato original, Plato apparent);
[[nodiscard]] Percent real_attenuation(Plato original, Plato real);

// The laboratories' real degree of fermentation, which counts the yeast and gas too:
// 100 (OE - n)/OE * 1/(1 - 0.005161 n). ASBC Beer-6 (recalled).
[[nodiscard]] Percent real_degree_of_fermentation(Plato original, Plato real);

// For comparison alone: points * factor, the factor from the UK duty table (HMRC Notice 226, 30.3) by the points
// lost, 0.125 to 0.135; it lies 2 to 3 % below Balling for ordinary beers. 0 to 100.7 points.
[[nodiscard]] Percent alcohol_by_volume_duty_rule(SpecificGravity original, SpecificGravity final);

} // namespace lotwort::wort
