#include "range.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/refractometer.hpp>

namespace lotwort::wort {

namespace {

constexpr double least_index = 1.331, most_index = 1.4;
constexpr double least_factor = 0.9, most_factor = 1.2;

void require_factor(double wort_factor) {
    require_range(wort_factor, least_factor, most_factor, "wort correction factor");
}

// Too little fermented for the correlations, or nothing at all.
void require_half_fermented(Plato original, SpecificGravity final) {
    const Plato apparent = plato(final);
    const double real = balling_real_extract(original.value(), apparent.value());
    const double fermented = real_degree_of_fermentation_pct(original.value(), real);
    if (fermented >= 50.0) return;
    throw Error(ErrorKind::refused,
                "only " + number(std::round(fermented)) +
                    " % is really fermented, and a refractometer tells a final gravity from 50 % on",
                "read the gravity with a hydrometer");
}

} // namespace

double refraction::solve_index(double brix) {
    double low = 1.30, high = 1.42;
    double n = water_refractive_index + 0.0015 * brix;
    for (int step = 0; step < 60; ++step) {
        const auto there = brix_of_index(Dual<1>::parameter(n, 0));
        (there.value > brix ? high : low) = n;
        double next = n - (there.value - brix) / there.slope[0];
        if (!(next > low && next < high)) next = 0.5 * (low + high);
        const double move = std::abs(next - n);
        n = next;
        if (move < 1e-15) break;
    }
    return n;
}

Brix brix(double refractive_index) {
    require_range(refractive_index, least_index, most_index, "refractive index");
    return Brix(brix_of_index(refractive_index));
}

double refractive_index(Brix reading) {
    require_range(reading.value(), brix_of_index(least_index), brix_of_index(most_index), "reading in Brix");
    return index_of_brix(reading.value());
}

Plato plato_of_brix(Brix reading, double wort_factor) {
    require_range(reading.value(), least_plato, most_plato, "reading in Brix");
    require_factor(wort_factor);
    return Plato(reading.value() / wort_factor);
}

Brix brix_of_plato(Plato extract, double wort_factor) {
    require_extract(extract);
    require_factor(wort_factor);
    return Brix(extract.value() * wort_factor);
}

double wort_factor_of(Brix reading, Plato by_hydrometer) {
    require_range(by_hydrometer.value(), 1.0, most_plato, "extract in Plato");
    const double factor = reading.value() / by_hydrometer.value();
    require_factor(factor);
    return factor;
}

RefractedFinalGravity final_gravity_from_refractometer(Brix wort, Brix beer, double wort_factor) {
    require_factor(wort_factor);
    require_range(wort.value(), 4.0, 32.0, "the wort's reading in Brix");
    require_range(beer.value(), 0.0, wort.value(), "the beer's reading in Brix");
    const double i = wort.value() / wort_factor, f = beer.value() / wort_factor;
    RefractedFinalGravity out;
    out.rules = {{{FinalGravityRule::terrill_cubic, SpecificGravity(terrill_cubic(i, f))},
                  {FinalGravityRule::terrill_linear, SpecificGravity(terrill_linear(i, f))},
                  {FinalGravityRule::older_cubic, SpecificGravity(older_cubic(i, f))}}};
    out.gravity = out.rules[0].gravity;
    require_half_fermented(Plato(i), out.gravity);
    out.sd = GravityDifference(std::hypot(terrill_sd, (out.gravity - out.rules[1].gravity).value()));
    const auto [low, high] = std::ranges::minmax(out.rules, {}, &RuledFinalGravity::gravity);
    out.spread = high.gravity - low.gravity;
    return out;
}

} // namespace lotwort::wort
