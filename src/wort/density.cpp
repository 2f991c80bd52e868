#include "range.hpp"
#include <cmath>
#include <limits>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/density.hpp>

namespace lotwort::wort {

namespace {

constexpr double least_fraction = -0.10, most_fraction = 0.97;

using Coefficients = std::array<double, 6>;
constexpr Coefficients at_20 = icumsa::at_temperature(20.0);

// What extract adds to the water's density, and its slope.
struct Added {
    double kg_m3;
    double slope;
};

Added added(const Coefficients& b, double w) {
    double sum = 0.0, slope = 0.0;
    for (std::size_t k = b.size(); k-- > 0;) {
        slope = slope * w + (sum + b[k]);
        sum = (sum + b[k]) * w;
    }
    return {sum, slope};
}

// Newton from b1 w + b2 w^2 = more. Not a number where it leaves the range. Its error after a step is less than that
// step's square.
double quick_fraction(const Coefficients& b, double more) {
    constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
    const double under_root = b[0] * b[0] + 4.0 * b[1] * more;
    if (!(under_root > 0.0)) return nothing;
    double w = 2.0 * more / (b[0] + std::sqrt(under_root));
    for (int step = 0; step < 8; ++step) {
        const Added here = added(b, w);
        const double move = (more - here.kg_m3) / here.slope;
        w += move;
        if (!(w > least_fraction && w < most_fraction)) return nothing;
        if (std::abs(move) < 1e-8) return w;
    }
    return nothing;
}

// The same inside a bracket, after a look whether there is an answer at all.
double careful_fraction(const Coefficients& b, double density_kg_m3, double temperature_c) {
    const double water = icumsa::water_density_kg_m3(temperature_c), more = density_kg_m3 - water;
    double low = least_fraction, high = most_fraction;
    const double least = added(b, low).kg_m3, most = added(b, high).kg_m3;
    if (!(more >= least && more <= most))
        throw Error(ErrorKind::refused,
                    "no wort has the density " + number(density_kg_m3) + " kg/m3 at " + number(temperature_c) + " C",
                    "give a density from " + number(water + least) + " to " + number(water + most) + " kg/m3");
    double w = low + (high - low) * (more - least) / (most - least);
    for (int step = 0; step < 100; ++step) {
        const Added here = added(b, w);
        (here.kg_m3 > more ? high : low) = w;
        double next = w + (more - here.kg_m3) / here.slope;
        if (!(next > low && next < high)) next = 0.5 * (low + high);
        const double move = std::abs(next - w);
        w = next;
        if (move < 1e-14) break;
    }
    return w;
}

} // namespace

double solve_mass_fraction(double density_kg_m3, double temperature_c) {
    // Nearly every question is about 20 C, where the coefficients are known beforehand.
    constexpr double water_20 = icumsa::water_density_kg_m3(20.0);
    if (temperature_c == 20.0)
        if (const double w = quick_fraction(at_20, density_kg_m3 - water_20); w == w) return w;
    const Coefficients b = icumsa::at_temperature(temperature_c);
    const double w = quick_fraction(b, density_kg_m3 - icumsa::water_density_kg_m3(temperature_c));
    return w == w ? w : careful_fraction(b, density_kg_m3, temperature_c);
}

KilogramsPerCubicMetre wort_density(Plato extract, Celsius at) {
    require_extract(extract);
    require_temperature(at);
    return KilogramsPerCubicMetre(sucrose_density_kg_m3(extract.value() / 100.0, at.value()));
}

Plato plato_of_density(KilogramsPerCubicMetre density, Celsius at) {
    require_temperature(at);
    return plato_in_range(
        density.value(), [&](double w) { return sucrose_density_kg_m3(w, at.value()); },
        [&](double y) { return solve_mass_fraction(y, at.value()); },
        [&] { return "density in kg/m3 at " + number(at.value()) + " C"; });
}

} // namespace lotwort::wort
