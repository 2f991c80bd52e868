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
#include <lotwort/wort/gravity.hpp>

namespace lotwort::wort {

inline constexpr double ethanol_20c_kg_m3 = 789.239; // OIML R 22; a test holds it to ethanol.hpp
inline constexpr double alcohol_rule_spread = 0.02;  // of the alcohol, between published rules
inline constexpr double balling_real_share = 0.8192;

// The templates are in degrees and per cent, each argument double or Dual<N>, and unchecked.
template <class Original, class Apparent>
[[nodiscard]] constexpr auto balling_real_extract(Original original, Apparent apparent) {
    return (1.0 - balling_real_share) * original + balling_real_share * apparent;
}

template <class Original, class Residue>
[[nodiscard]] constexpr auto balling_alcohol_by_mass(Original original, Residue real) {
    return (original - real) / (2.0665 - 0.010665 * original);
}

template <class Alcohol, class Residue>
[[nodiscard]] constexpr auto balling_original_extract(Alcohol alcohol_by_mass, Residue real) {
    return 100.0 * (2.0665 * alcohol_by_mass + real) / (100.0 + 1.0665 * alcohol_by_mass);
}

// Alcohol by volume, per cent, of a beer of that apparent extract which holds so much alcohol by mass.
template <class Alcohol, class Apparent>
[[nodiscard]] constexpr auto volume_pct_of_mass_pct(Alcohol by_mass, Apparent apparent) {
    return by_mass * sucrose_density_kg_m3(apparent / 100.0, 20.0) / ethanol_20c_kg_m3;
}

// Alcohol by volume, per cent, from original and apparent extract.
template <class Original, class Apparent>
[[nodiscard]] constexpr auto alcohol_by_volume_pct(Original original, Apparent apparent) {
    return volume_pct_of_mass_pct(balling_alcohol_by_mass(original, balling_real_extract(original, apparent)),
                                  apparent);
}

// Apparent extract after a given apparent attenuation (a fraction).
template <class Original, class Attenuation>
[[nodiscard]] constexpr auto apparent_extract_after(Original original, Attenuation attenuation) {
    return original * (1.0 - attenuation);
}

// Per cent of the original extract that is gone; what is left may be the apparent or the real extract.
template <class Original, class Left>
[[nodiscard]] constexpr auto attenuation_pct(Original original, Left left) {
    return 100.0 * (original - left) / original;
}

// The laboratories' real degree of fermentation, which counts the yeast and gas too:
// 100 (OE - n)/OE * 1/(1 - 0.005161 n). ASBC Beer-6 (recalled).
template <class Original, class Residue>
[[nodiscard]] constexpr auto real_degree_of_fermentation_pct(Original original, Residue real) {
    return attenuation_pct(original, real) / (1.0 - 0.005161 * real);
}

// Error(refused): original outside 0 to 35 P, apparent or real outside -5 P to the original.
[[nodiscard]] Plato real_extract(Plato original, Plato apparent);
[[nodiscard]] Percent alcohol_by_mass(Plato original, Plato apparent);
[[nodiscard]] Percent alcohol_by_volume(Plato original, Plato apparent);
[[nodiscard]] Percent alcohol_by_volume(SpecificGravity original, SpecificGravity final);

// Error(refused): alcohol outside 0 to 20 % by mass, real extract outside 0 to 35 P.
[[nodiscard]] Plato original_extract(Percent alcohol_by_mass, Plato real);

// Error(refused) also where there was no extract.
[[nodiscard]] Percent apparent_attenuation(Plato original, Plato apparent);
[[nodiscard]] Percent real_attenuation(Plato original, Plato real);
[[nodiscard]] Percent real_degree_of_fermentation(Plato original, Plato real);

} // namespace lotwort::wort
