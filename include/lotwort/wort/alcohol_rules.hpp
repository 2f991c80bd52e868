// Other rules for the alcohol of a beer, so that a brewer can see how far they lie apart.
//
// The forecast and the reports use Balling's (alcohol.hpp). A laboratory, a tax office and a textbook may each print
// another figure for the same two gravities; here they stand side by side. All in per cent by mass, OE original, AE
// apparent, n real extract, A alcohol:
//
//     A = a (OE - AE) = b (OE - n) = c (n - AE),   q = (OE - n)/(OE - AE)
//
//     Cutaia, Reid and Speers   a = 0.372 + 0.00357 OE, b = 0.459 + 0.00469 OE, c = 1.99 + 0.0134 OE, q = 0.814
//     - 8.62e-4 OE Pawlowski and Doemens     a = 0.395 + 0.0021 OE,  b = 0.481 + 0.0030 OE,  c = 2.19 + 0.0031 OE, q =
//     0.820 - 6.6e-4 OE of 1917                   OE = 2 A + n UK duty                   % by volume = points lost
//     times 0.125 to 0.135
//
// A. J. Cutaia, A.-J. Reid and R. A. Speers, J. Inst. Brew. 115 (2009) 318-327, Tables III and VI: 532 brews of 11 to
// 18 P, standard errors 0.010 of a, 0.015 of b, 0.013 of c, 0.009 of q. The copy seen prints q's slope without its sign
// and c's first constant ten times too small; only the signs and sizes above fit the paper's own means. L. M. Tolman
// and J. G. Riley, USDA Bulletin 493, 1917. HMRC Notice 226, 30.3. Each is held to its own source
// (tests/golden/alcohol.tsv), never to another's: they lie up to 3 % of the alcohol apart.
#pragma once

#include <array>
#include <lotwort/core/fields.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/ethanol.hpp>
#include <vector>

namespace lotwort::wort {

template <class Real>
struct AlcoholFactors {
    Real a, b, c, q;
};

template <class Real>
[[nodiscard]] constexpr AlcoholFactors<Real> cutaia_factors(Real original) {
    return {0.372 + 0.00357 * original, 0.459 + 0.00469 * original, 1.99 + 0.0134 * original,
            0.814 - 8.62e-4 * original};
}

template <class Real>
[[nodiscard]] constexpr AlcoholFactors<Real> doemens_factors(Real original) {
    return {0.395 + 0.0021 * original, 0.481 + 0.0030 * original, 2.19 + 0.0031 * original, 0.820 - 6.6e-4 * original};
}

// Balling's, in the same form: q is constant.
template <class Real>
[[nodiscard]] constexpr AlcoholFactors<Real> balling_factors(Real original) {
    const Real b = 1.0 / (2.0665 - 0.010665 * original);
    return {balling_real_share * b, b, balling_real_share / (1.0 - balling_real_share) * b, balling_real_share};
}

// The rule of 1917: half of what is gone is alcohol. 0.1 to 0.25 P above Balling's original extract.
template <class Alcohol, class Residue>
[[nodiscard]] constexpr auto original_extract_of_1917(Alcohol alcohol_by_mass, Residue real) {
    return 2.0 * alcohol_by_mass + real;
}

// Tabarie's rule: SG(residue) = SG(beer) + 1 - SG(distillate), all 20/20; alcohol and extract lighten and burden the
// beer each on its own account. The distillate is made up to the beer's volume, so it holds A SG(beer)/SG(distillate)
// per cent by mass. Holds to 0.025 P on the means of Cutaia et al.
template <class Alcohol, class Gravity>
[[nodiscard]] constexpr auto distillate_gravity(Alcohol by_mass, Gravity beer_gravity) {
    Wider<Alcohol, Gravity> distillate = 1.0;
    for (int i = 0; i < 12; ++i) // each round gains a factor of 30 to 100
        distillate =
            ethanol_density_kg_m3(by_mass / 100.0 * beer_gravity / distillate, 20.0) / ethanol_density_kg_m3(0.0, 20.0);
    return distillate;
}

// Real extract from apparent extract and alcohol by mass.
template <class Apparent, class Alcohol>
[[nodiscard]] auto tabarie_real_extract(Apparent apparent, Alcohol by_mass) {
    const auto beer = specific_gravity_of(apparent / 100.0);
    return 100.0 * mass_fraction_of_gravity(beer + 1.0 - distillate_gravity(by_mass, beer));
}

// The way back: the beer's gravity 20/20, and its apparent extract, from what it holds.
template <class Residue, class Alcohol>
[[nodiscard]] constexpr auto beer_gravity(Residue real, Alcohol by_mass) {
    const auto residue = specific_gravity_of(real / 100.0);
    Wider<Residue, Alcohol> beer = residue;
    for (int i = 0; i < 12; ++i) beer = residue + distillate_gravity(by_mass, beer) - 1.0;
    return beer;
}
template <class Residue, class Alcohol>
[[nodiscard]] auto tabarie_apparent_extract(Residue real, Alcohol by_mass) {
    return 100.0 * mass_fraction_of_gravity(beer_gravity(real, by_mass));
}

// The duty table's factor by the points lost, and their product, per cent by volume. 0 to 100.7 points.
[[nodiscard]] double duty_factor(double points);
template <class Real>
[[nodiscard]] Real duty_alcohol_by_volume_pct(Real points) {
    return points * duty_factor(value_of(points));
}

// points * factor; the table is in tenths of a point. 2 to 3 % below Balling for ordinary beers. Error(refused)
// outside 0 to 100.7 points.
[[nodiscard]] Percent alcohol_by_volume_duty_rule(SpecificGravity original, SpecificGravity final);

enum class AlcoholRule { balling, cutaia, doemens, rule_of_1917, duty };

} // namespace lotwort::wort

namespace lotwort {
template <>
struct WordsOf<wort::AlcoholRule> {
    static constexpr std::array<std::string_view, 5> list{"Balling 1865", "Cutaia 2009", "Pawlowski and Doemens",
                                                          "rule of 1917", "UK duty factors"};
};
} // namespace lotwort

namespace lotwort::wort {

struct RuledAlcohol {
    AlcoholRule rule;
    Percent by_volume;
    Percent from_balling; // of Balling's figure
};

// The rules in use side by side, Balling first. The rule of 1917 is printed and stays out of low, high and spread;
// the duty factors stay out where they end, at 100.7 points.
struct AlcoholComparison {
    std::vector<RuledAlcohol> rules;
    Percent low, high; // by volume
    Percent spread;    // (high - low) of Balling's figure; 0 where nothing fermented
};

// Error(refused) as alcohol_by_volume.
[[nodiscard]] AlcoholComparison compare_alcohol(Plato original, Plato apparent);

} // namespace lotwort::wort
