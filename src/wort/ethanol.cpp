#include "range.hpp"
#include <lotwort/wort/ethanol.hpp>

namespace lotwort::wort {

KilogramsPerCubicMetre ethanol_density(Percent by_mass, Celsius at) {
    require_range(by_mass.value(), 0.0, 100.0, "ethanol in per cent by mass");
    require_range(at.value(), -20.0, 40.0, "temperature in C of ethanol and water");
    return KilogramsPerCubicMetre(ethanol_density_kg_m3(by_mass.value() / 100.0, at.value()));
}

Percent alcohol_by_volume_of_mixture(Percent by_mass) {
    require_range(by_mass.value(), 0.0, 100.0, "ethanol in per cent by mass");
    return Percent(mixture_volume_pct(by_mass.value()));
}

} // namespace lotwort::wort
