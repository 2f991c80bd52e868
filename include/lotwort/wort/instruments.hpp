// What a scale's division, a maker's error limit or a laboratory's trial say of a reading's uncertainty.
//
// A brewer knows that the stem is divided in 0.002 and that the maker promises 0.001; statistics wants a standard
// deviation. The Guide to the expression of uncertainty (JCGM 100:2008) says how to come from one to the other:
//
//     u = a/sqrt 3     anywhere within +- a alike likely (a maker's limit; half a division)      GUM 4.3.7
//     u = a/sqrt 6     within +- a, the middle likelier (a dip stick read by a careful eye)      GUM 4.3.9
//     u = d/sqrt 12    a display that rounds to steps of d                                       GUM F.2.2.1
//
// A collaborative trial of laboratories states r95, within which two results of one laboratory lie 95 times of 100, and
// R95, the same for two laboratories (ISO 5725): s = r95/(1.96 sqrt 2). One laboratory's mean of n results differs from
// a stated value by more than the critical difference CD = sqrt((R95^2 - r95^2 (n-1)/n)/2) only one time in twenty.
// Tables: tests/golden/instruments.tsv, precision.tsv.
#pragma once

#include <array>
#include <cmath>
#include <lotwort/core/dual.hpp>
#include <optional>
#include <string_view>

namespace lotwort::wort {

template <class Real>
[[nodiscard]] constexpr Real u_rectangular(Real half_width) {
    return half_width / 1.7320508075688772;
}
template <class Real>
[[nodiscard]] constexpr Real u_triangular(Real half_width) {
    return half_width / 2.449489742783178;
}
template <class Real>
[[nodiscard]] constexpr Real u_resolution(Real step) {
    return step / 3.4641016151377544;
}
// s of r95, or of R95
template <class Real>
[[nodiscard]] constexpr Real sd_of_r95(Real r95) {
    return r95 / 2.7718076486993627;
}
template <class Real>
[[nodiscard]] Real critical_difference_of(Real r95, Real big_r95, int results) {
    using std::sqrt;
    return sqrt((big_r95 * big_r95 - r95 * r95 * ((results - 1.0) / results)) / 2.0);
}

// An instrument's share: its division, its maker's limit, and, where stated, its own repeatability. `repeatability` is
// one standard deviation of reading the same again; the division's share is left out where it is given, because who
// reads again rounds again.
struct ReadingUncertainty {
    double repeatability; // differs from reading to reading
    double bias;          // the instrument's, the same for all its readings
};
// A division read to a half of it has the half-width division/2; a digital step is u_resolution. Error(refused) where
// one is negative or no number.
[[nodiscard]] ReadingUncertainty reading_uncertainty(double division, double limit,
                                                     std::optional<double> repeatability = std::nullopt);

// Error(refused): a negative r95 or R95, R95 below r95, no result.
[[nodiscard]] double critical_difference(double r95, double big_r95, int results);

// Whether a laboratory's mean of `results` contradicts what was stated: the certificate against the brewer's retest.
[[nodiscard]] bool differs(double stated, double found, double r95, double big_r95, int results);

// Error limits of percent (Plato) hydrometers by their division, German verification rules of 1907: 1 % 0.4, 0.5 %
// 0.25, 0.2 % 0.15. Built-in thermometers 0.4 C by whole degrees, 0.2 C by halves. Error(refused) for another division.
[[nodiscard]] double hydrometer_limit_1907(double division_pct);

// Published collaborative trials, per cent by mass (of dry matter where it says so), per cent by volume for ethanol.
struct TrialPrecision {
    std::string_view quantity;
    double least, most; // the levels tried
    double r95, big_r95;
    std::string_view source;
};
[[nodiscard]] const std::array<TrialPrecision, 9>& trial_precisions();

} // namespace lotwort::wort
