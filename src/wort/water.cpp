#include "range.hpp"
#include <lotwort/wort/water.hpp>

namespace lotwort::wort {

KilogramsPerCubicMetre water_density(Celsius at) {
    require_temperature(at);
    const double t = at.value();
    if (t <= 35.0) return KilogramsPerCubicMetre(water_tanaka_kg_m3(t));
    if (t >= 40.0) return KilogramsPerCubicMetre(water_kell_kg_m3(t));
    const double u = (t - 35.0) / 5.0;
    const double s = u * u * (3.0 - 2.0 * u);
    return KilogramsPerCubicMetre((1.0 - s) * water_tanaka_kg_m3(t) + s * water_kell_kg_m3(t));
}

KilogramsPerCubicMetre aerated_water_density(Celsius at) {
    require_range(at.value(), 0.0, 40.0, "temperature in C of aerated water");
    return KilogramsPerCubicMetre(water_tanaka_aerated_kg_m3(at.value()));
}

double water_contraction(Celsius from, Celsius to) {
    require_temperature(from);
    require_temperature(to);
    return water_kell_kg_m3(from.value()) / water_kell_kg_m3(to.value());
}

} // namespace lotwort::wort
