#include "range.hpp"
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/density.hpp>

namespace lotwort::wort {

double solve_mass_fraction(double density_kg_m3, double temperature_c) {
    double low = -0.10, high = 0.97;
    const double least = sucrose_density_kg_m3(low, temperature_c), most = sucrose_density_kg_m3(high, temperature_c);
    if (!(density_kg_m3 >= least && density_kg_m3 <= most))
        throw Error(ErrorKind::refused,
                    "no wort has the density " + number(density_kg_m3) + " kg/m3 at " + number(temperature_c) + " C",
                    "give a density from " + number(least) + " to " + number(most) + " kg/m3");
    double w = low + (high - low) * (density_kg_m3 - least) / (most - least);
    for (int step = 0; step < 100; ++step) {
        const double excess = sucrose_density_kg_m3(w, temperature_c) - density_kg_m3;
        (excess > 0.0 ? high : low) = w;
        double next = w - excess / sucrose_density_slope(w, temperature_c);
        if (!(next > low && next < high)) next = 0.5 * (low + high);
        const double move = std::abs(next - w);
        w = next;
        if (move < 1e-14) break;
    }
    return w;
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
        "density in kg/m3 at " + number(at.value()) + " C");
}

} // namespace lotwort::wort
