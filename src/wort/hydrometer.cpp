#include "range.hpp"
#include <lotwort/wort/hydrometer.hpp>

namespace lotwort::wort {

namespace {

// The extract in which a stem floats at that mark at T, one unit of the mark standing for per_mark kg/m3 at T0.
Plato extract_floating(double mark, double per_mark, Celsius at, Celsius calibration, std::string_view scale) {
    require_temperature(at);
    const double glass = 1.0 + glass_expansion_per_k * (at - calibration).value();
    return plato_in_range(
        mark, [&](double w) { return sucrose_density_kg_m3(w, at.value()) * glass / per_mark; },
        [&](double m) { return solve_mass_fraction(m * per_mark / glass, at.value()); },
        [&] { return std::string(scale) + " at " + number(at.value()) + " C"; });
}

} // namespace

Plato plato_from_hydrometer(double mark, Celsius at, Celsius calibration) {
    require_temperature(calibration);
    return extract_floating(mark, icumsa::water_density_kg_m3(calibration.value()), at, calibration,
                            "hydrometer mark (specific gravity)");
}

Plato plato_from_hydrometer(Plato mark, Celsius at, Celsius calibration) {
    require_temperature(calibration);
    require_extract(mark);
    const double density = sucrose_density_kg_m3(mark.value() / 100.0, calibration.value());
    return extract_floating(density, 1.0, at, calibration, "density in kg/m3 under a Plato stem");
}

SpecificGravity gravity_from_hydrometer(double mark, Celsius at, Celsius calibration) {
    return specific_gravity(plato_from_hydrometer(mark, at, calibration));
}

double corrected_hydrometer_mark(double mark, Celsius at, Celsius calibration) {
    const Plato extract = plato_from_hydrometer(mark, at, calibration);
    return relative_density_of(extract.value() / 100.0, calibration.value());
}

} // namespace lotwort::wort
