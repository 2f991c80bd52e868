// What a refractometer shows, in wort and in beer.
//
// A drop of wort on the prism bends light by what is dissolved in it; the scale turns that into the sucrose it would be
// (degrees Brix). Wort is not sucrose, so the reading is divided by a wort correction factor. In beer the alcohol bends
// light too: then only the reading of the wort and that of the beer together tell the final gravity, by a correlation,
// and only as an estimate. A hydrometer knows better.
//
//     Bx   = p(n) - p(n_water)
//     p(n) = 11758.74 n^5 - 88885.21 n^4 + 270177.93 n^3 - 413145.80 n^2 + 318417.95 n - 99127.4536
//     P    = Bx / wort factor
//
// n at 589 nm and 20 C. The polynomial is as printed (ENC_BRIX in docs/methods/wort.md). By itself it lies 0.018 Bx
// below the ICUMSA values throughout, so the reading of water is subtracted, as one does on the prism. Then it lies
// within 0.004 Bx to 30 Bx (tests/golden/refractometer.tsv, recalled values). The wort factor is usually 1.02 to
// 1.06; 1.04 where nobody has measured it. The templates are in plain numbers, Real double or Dual<N>, and unchecked.
#pragma once

#include <array>
#include <lotwort/core/dual.hpp>
#include <lotwort/core/fields.hpp>
#include <lotwort/core/quantity.hpp>

namespace lotwort::wort {

inline constexpr double water_refractive_index = 1.332986; // ICUMSA SPS-3, recalled
inline constexpr double typical_wort_factor = 1.04;
inline constexpr double typical_wort_factor_sd = 0.01; // half of 1.02 to 1.06 over sqrt 3

namespace refraction {
template <class Real>
[[nodiscard]] constexpr Real polynomial(Real n) {
    return ((((11758.74 * n - 88885.21) * n + 270177.93) * n - 413145.80) * n + 318417.95) * n - 99127.4536;
}
// The index at which the polynomial, less that of water, is so many Brix; to 1e-14.
[[nodiscard]] double solve_index(double brix);
} // namespace refraction

template <class Real>
[[nodiscard]] constexpr Real brix_of_index(Real refractive_index) {
    return refraction::polynomial(refractive_index) - refraction::polynomial(water_refractive_index);
}

template <class Real>
[[nodiscard]] Real index_of_brix(Real brix) {
    const auto n = Dual<1>::parameter(refraction::solve_index(value_of(brix)), 0);
    const auto there = brix_of_index(n);
    return Real(n.value) + (brix - there.value) / there.slope[0];
}

// Error(refused) outside an index of 1.331 to 1.4 (-1.4 to 40 Bx).
[[nodiscard]] Brix brix(double refractive_index);
[[nodiscard]] double refractive_index(Brix reading);

// Wort's reading to its extract and back. Error(refused) for a wort factor outside 0.9 to 1.2, or a reading outside
// -5 to 95.
[[nodiscard]] Plato plato_of_brix(Brix reading, double wort_factor = typical_wort_factor);
[[nodiscard]] Brix brix_of_plato(Plato extract, double wort_factor = typical_wort_factor);

// The user's own factor, from one wort read both ways. Error(refused) where it comes out beyond 0.9 to 1.2: then one of
// the readings is wrong, or the sample held alcohol.
[[nodiscard]] double wort_factor_of(Brix reading, Plato by_hydrometer);

// Final gravity SG 20/20 from the readings of the wort (i) and the beer (f), both already divided by the wort factor.
// S. Terrill, refractometer final gravity results, web article with data, 2011: 68 triplets, not below 50 % real
// degree of fermentation.
template <class Initial, class Final>
[[nodiscard]] constexpr auto terrill_cubic(Initial i, Final f) {
    return 1.0 + i * (-0.0044993 + i * (0.00027581 - i * 0.0000072800)) +
           f * (0.011774 + f * (-0.0012717 + f * 0.000063293));
}
template <class Initial, class Final>
[[nodiscard]] constexpr auto terrill_linear(Initial i, Final f) {
    return 1.0 - 0.00085683 * i + 0.0034941 * f;
}
// The cubic in use before, as that article tests it: 5.1 points low on average in its author's ten beers.
template <class Initial, class Final>
[[nodiscard]] constexpr auto older_cubic(Initial i, Final f) {
    return 1.001843 - i * (0.002318474 + i * (0.000007775 + i * 0.000000034)) +
           f * (0.00574 + f * (0.00003344 + f * 0.000000086));
}

enum class FinalGravityRule { terrill_cubic, terrill_linear, older_cubic };

struct RuledFinalGravity {
    FinalGravityRule rule;
    SpecificGravity gravity;
};

// An estimate, and to be shown as one.
struct RefractedFinalGravity {
    SpecificGravity gravity; // by Terrill's cubic
    GravityDifference sd;    // the rule's own standard uncertainty, without that of the readings
    std::array<RuledFinalGravity, 3> rules;
    GravityDifference spread; // highest less lowest of the three
};

// No scatter was published that was seen: 0.002 is judgement, and the two rules of 2011 disagree by more in strong
// worts (0.003 at 20 Bx, 0.01 at 25), which is added in quadrature. Error(refused): the wort's reading outside 4 to 32,
// the beer's above it or below 0, or less than half really fermented, where the rules do not hold.
inline constexpr double terrill_sd = 0.002;
[[nodiscard]] RefractedFinalGravity final_gravity_from_refractometer(Brix wort, Brix beer,
                                                                     double wort_factor = typical_wort_factor);

// Apparent extract of beer from original wort of 11.5 %, degrees of the immersion refractometer: m = 0.3830 r
// - 11.7129, error 0.1 %. J. Savel, Kvasny Prum. 17 (1971) 53-56. For that wort alone.
template <class Real>
[[nodiscard]] constexpr Real savel_apparent_extract(Real immersion_degrees) {
    return 0.3830 * immersion_degrees - 11.7129;
}

} // namespace lotwort::wort

namespace lotwort {
template <>
struct WordsOf<wort::FinalGravityRule> {
    static constexpr std::array<std::string_view, 3> list{"Terrill 2011, cubic", "Terrill 2011, linear", "older cubic"};
};
} // namespace lotwort
