// The units malt analyses are written in, and how they turn into one another.
//
// A certificate may state extract as per cent of the malt or of its dry matter, finely or coarsely ground, or
// as the gravity it lends: litre-degrees per kilogram, or points per pound and US gallon. A litre-degree is
// one litre of wort one point (0.001 SG 20/20) above water; one kilogram of pure extract gives
//
//     sucrose_litre_degrees = 1000 (S(w) - 1) / c,   c = rho(w, 20) w in kg/L
//
// which falls as the wort gets stronger: 386.3 at 20 g/L, 385.2 at 100, 384.5 at 150. The constant is taken where
// the laboratory measures: a Congress mash of 50 g malt and 400 g water at 80 % gives 8.7 P, 90 g/L. So it
// carries 0.2 % either way; UK sheets use 386 and home tables 46.21 points per pound (385.64).
#pragma once

#include <lotwort/core/dual.hpp>
#include <lotwort/core/quantity.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort {

inline constexpr double sucrose_litre_degrees = 385.35; // L deg/kg at 90 g/L; a test holds it to the derivation
// L deg/kg of 1 point per pound and US gallon: 3.785411784 / 0.45359237
inline constexpr double litre_degrees_per_ppg = 8.345404;

// Fine less coarse grind, points of dry-basis extract. Published classes of pale malt: below 1.3 very good, 1.3 to
// 1.9, 2.0 to 2.6, 2.7 to 3.3. Typical is the second; where it is not stated it is 1.7 with a standard uncertainty of
// 0.6.
inline constexpr double fine_coarse_difference_pct = 1.7;
inline constexpr double fine_coarse_difference_sd_pct = 0.6;

// L deg/kg that sucrose gives at a concentration in g/L of solution at 20 C. Error(refused) unless 0 < c <= 1000. The
// template carries its slope.
[[nodiscard]] double solve_sucrose_fraction(double concentration_g_per_l);
template <class Real>
[[nodiscard]] Real sucrose_litre_degrees_at(Real concentration_g_per_l) {
    const auto w = Dual<1>::parameter(solve_sucrose_fraction(value_of(concentration_g_per_l)), 0);
    const auto held = wort::sucrose_density_kg_m3(w, 20.0) * w;
    const Real fraction = Real(w.value) + (concentration_g_per_l - held.value) / held.slope[0];
    return 1e6 * (wort::specific_gravity_of(fraction) - 1.0) / concentration_g_per_l;
}
[[nodiscard]] double litre_degrees_of_sucrose(double concentration_g_per_l);

// The templates below are in plain numbers, each double or Dual<N>, and unchecked.
template <class Real>
[[nodiscard]] constexpr Real litre_degrees_of_ppg(Real ppg) {
    return ppg * litre_degrees_per_ppg;
}

// as-is = dry (1 - M/100)
template <class Extract, class Moisture>
[[nodiscard]] constexpr auto as_is_pct(Extract dry_pct, Moisture moisture_pct) {
    return dry_pct * (1.0 - moisture_pct / 100.0);
}
template <class Extract, class Moisture>
[[nodiscard]] constexpr auto dry_pct(Extract as_is_pct, Moisture moisture_pct) {
    return as_is_pct / (1.0 - moisture_pct / 100.0);
}
[[nodiscard]] constexpr Percent as_is_of_dry(Percent dry, Percent moisture) {
    return Percent(as_is_pct(dry.value(), moisture.value()));
}
[[nodiscard]] constexpr Percent dry_of_as_is(Percent as_is, Percent moisture) {
    return Percent(dry_pct(as_is.value(), moisture.value()));
}

// Congress mash, 50 g malt and 400 g water: as-is extract E = P (800 + M)/(100 - P), P the wort in Plato, by mass
// balance; and back.
template <class Strength, class Moisture>
[[nodiscard]] constexpr auto congress_extract_pct(Strength plato, Moisture moisture_pct) {
    return plato * (800.0 + moisture_pct) / (100.0 - plato);
}
template <class Extract, class Moisture>
[[nodiscard]] constexpr auto congress_wort_plato(Extract as_is_pct, Moisture moisture_pct) {
    return 100.0 * as_is_pct / (as_is_pct + 800.0 + moisture_pct);
}
[[nodiscard]] constexpr Percent congress_extract_as_is(Plato wort, Percent moisture) {
    return Percent(congress_extract_pct(wort.value(), moisture.value()));
}
[[nodiscard]] constexpr Plato congress_wort(Percent extract_as_is, Percent moisture) {
    return Plato(congress_wort_plato(extract_as_is.value(), moisture.value()));
}

// The Institute of Brewing's hot water extract, L deg/kg, from per cent by the Congress mash (E - 1.705)/0.2586, and
// back. Two different mashes, so an empirical line: pale malt to 1 L deg/kg, not for roasted (16 too high for brown
// malt). Not used for a certificate in L deg/kg, which is taken as the unit and not as the other laboratory's mash.
template <class Real>
[[nodiscard]] constexpr Real iob_of_congress(Real extract_pct) {
    return (extract_pct - 1.705) / 0.2586;
}
template <class Real>
[[nodiscard]] constexpr Real congress_of_iob(Real litre_degrees) {
    return litre_degrees * 0.2586 + 1.705;
}
[[nodiscard]] constexpr double iob_litre_degrees_of_congress(Percent extract) {
    return iob_of_congress(extract.value());
}

// Noonan's practical as-is extract of coarse dry-basis, DBCG/(1 + M) - 0.2 %; for comparison, 0.1 point low.
template <class Extract, class Moisture>
[[nodiscard]] constexpr auto noonan_as_is_pct(Extract coarse_dry_pct, Moisture moisture_pct) {
    return coarse_dry_pct / (1.0 + moisture_pct / 100.0) - 0.2;
}
[[nodiscard]] constexpr Percent noonan_as_is(Percent coarse_dry, Percent moisture) {
    return Percent(noonan_as_is_pct(coarse_dry.value(), moisture.value()));
}

// WK = 3.5 Lintner - 16
template <class Real>
[[nodiscard]] constexpr Real wk_of_lintner_degrees(Real lintner) {
    return 3.5 * lintner - 16.0;
}
template <class Real>
[[nodiscard]] constexpr Real lintner_degrees_of_wk(Real wk) {
    return (wk + 16.0) / 3.5;
}
[[nodiscard]] constexpr WindischKolbach wk_of_lintner(double lintner) {
    return WindischKolbach(wk_of_lintner_degrees(lintner));
}
[[nodiscard]] constexpr double lintner_of_wk(WindischKolbach wk) {
    return lintner_degrees_of_wk(wk.value());
}

// How well a pale malt is modified, by the difference of its grinds: 1 below 1.3 points (very good), 2 to 1.9, 3
// to 2.6, 4 to 3.3, 5 above (poor); published classes (EMALT in docs/methods/malt.md). Error(refused) below 0.
[[nodiscard]] int modification_class(Percent fine_less_coarse);

} // namespace lotwort
