#include "range.hpp"
#include <lotwort/wort/water.hpp>

namespace lotwort::wort {

KilogramsPerCubicMetre water_density(Celsius at) {
    require_temperature(at);
    return KilogramsPerCubicMetre(water_density_kg_m3(at.value()));
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
