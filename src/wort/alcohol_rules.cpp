#include "fermentation.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/wort/alcohol_rules.hpp>

namespace lotwort::wort {

namespace {

struct DutyBand {
    double upper_points;
    double factor;
};

constexpr std::array<DutyBand, 11> duty_bands{{{6.9, 0.125},
                                               {10.4, 0.126},
                                               {17.2, 0.127},
                                               {26.1, 0.128},
                                               {36.0, 0.129},
                                               {46.5, 0.130},
                                               {57.1, 0.131},
                                               {67.9, 0.132},
                                               {78.8, 0.133},
                                               {89.7, 0.134},
                                               {100.7, 0.135}}};

// As the table reads: tenths of a point.
double in_tenths(double points) {
    return std::round(10.0 * points) / 10.0;
}

double alcohol_by_mass_by(AlcoholRule rule, double original, double apparent) {
    switch (rule) {
    case AlcoholRule::balling:
        return balling_factors(original).a * (original - apparent);
    case AlcoholRule::cutaia:
        return cutaia_factors(original).a * (original - apparent);
    case AlcoholRule::doemens:
        return doemens_factors(original).a * (original - apparent);
    case AlcoholRule::rule_of_1917:
        return 0.5 * (original - balling_real_extract(original, apparent));
    case AlcoholRule::duty:
        break;
    }
    LOTWORT_CHECK(false);
    return 0.0;
}

} // namespace

double duty_factor(double points) {
    const double tenths = in_tenths(points);
    require_range(tenths, 0.0, duty_bands.back().upper_points, "gravity points fermented");
    return std::ranges::find_if(duty_bands, [&](const DutyBand& band) { return tenths <= band.upper_points; })->factor;
}

Percent alcohol_by_volume_duty_rule(SpecificGravity original, SpecificGravity final) {
    return Percent(duty_alcohol_by_volume_pct(in_tenths(1000.0 * (original - final).value())));
}

AlcoholComparison compare_alcohol(Plato original, Plato apparent) {
    require_fermentation(original, apparent, "apparent extract in Plato");
    const auto by_volume = [&](AlcoholRule rule) {
        return volume_pct_of_mass_pct(alcohol_by_mass_by(rule, original.value(), apparent.value()), apparent.value());
    };
    const double balling = by_volume(AlcoholRule::balling);
    AlcoholComparison out{{}, Percent(balling), Percent(balling), Percent(0.0)};
    const auto add = [&](AlcoholRule rule, double abv) {
        out.rules.push_back({rule, Percent(abv), Percent(balling > 0.0 ? 100.0 * (abv / balling - 1.0) : 0.0)});
        if (rule == AlcoholRule::rule_of_1917) return;
        out.low = std::min(out.low, Percent(abv));
        out.high = std::max(out.high, Percent(abv));
    };
    for (const auto rule : {AlcoholRule::balling, AlcoholRule::cutaia, AlcoholRule::doemens, AlcoholRule::rule_of_1917})
        add(rule, by_volume(rule));
    const SpecificGravity from = specific_gravity(original), to = specific_gravity(apparent);
    if (in_tenths(1000.0 * (from - to).value()) <= duty_bands.back().upper_points)
        add(AlcoholRule::duty, alcohol_by_volume_duty_rule(from, to).value());
    if (balling > 0.0) out.spread = Percent(100.0 * ((out.high - out.low).value() / balling));
    return out;
}

} // namespace lotwort::wort
