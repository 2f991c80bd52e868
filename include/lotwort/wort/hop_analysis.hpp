// Hops and bitterness in the laboratory's spectrophotometer: what a certificate of hops is worked out from.
//
// The toluene extract is diluted in alkaline methanol and read in a 1 cm cell at three wavelengths; d is the dilution
// factor. ASBC Methods of Analysis, Hops-6 and Beer bitterness, 8th ed. 1992, with its worked example
// (tests/golden/hops.tsv):
//
//     alpha = d (-51.56 A355 + 73.79 A325 - 19.07 A275)        per cent
//     beta  = d ( 55.57 A355 - 47.59 A325 +  5.10 A275)        per cent
//     HSI   = A275/A325                                         hop storage index
//     BU    = 50 A275                                           bitterness units of beer, iso-octane extract
//
// Alpha's critical difference between two laboratories is 0.57 at 10 % (Analytica-EBC 7.7): a standard uncertainty
// near 3 % of the value. HSI: 1.3 % within a laboratory, 2.8 % between.
#pragma once

#include <lotwort/core/quantity.hpp>

namespace lotwort::wort {

inline constexpr double hsi_share_sd_within = 0.013, hsi_share_sd_between = 0.028; // Nickerson and Likens 1979

// In the order of the wavelengths.
template <class Real>
struct HopAbsorbance {
    Real a275, a325, a355;
};

template <class Dilution, class Real>
[[nodiscard]] constexpr auto asbc_alpha_pct(Dilution d, const HopAbsorbance<Real>& a) {
    return d * (-51.56 * a.a355 + 73.79 * a.a325 - 19.07 * a.a275);
}
template <class Dilution, class Real>
[[nodiscard]] constexpr auto asbc_beta_pct(Dilution d, const HopAbsorbance<Real>& a) {
    return d * (55.57 * a.a355 - 47.59 * a.a325 + 5.10 * a.a275);
}
template <class Real>
[[nodiscard]] constexpr Real storage_index(const HopAbsorbance<Real>& a) {
    return a.a275 / a.a325;
}
template <class Real>
[[nodiscard]] constexpr Real bitterness_units_of_absorbance(Real a275) {
    return 50.0 * a275;
}

// Error(refused) for absorbances outside 0 to 5 and a dilution factor outside 0 to 1000.
struct HopAnalysis {
    Percent alpha;
    Percent beta;
    double storage_index = 0.0;
};
[[nodiscard]] HopAnalysis hop_analysis(double dilution, const HopAbsorbance<double>& absorbance);
[[nodiscard]] BitternessUnits bitterness_of_absorbance(double a275);

} // namespace lotwort::wort
