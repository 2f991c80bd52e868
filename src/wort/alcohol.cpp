#include "fermentation.hpp"
#include <lotwort/wort/alcohol.hpp>

namespace lotwort::wort {

namespace {

void require_extract_to_ferment(Plato original) {
    require_range(original.value(), 1e-6, 35.0, "original extract in Plato");
}

} // namespace

Plato real_extract(Plato original, Plato apparent) {
    require_fermentation(original, apparent, "apparent extract in Plato");
    return Plato(balling_real_extract(original.value(), apparent.value()));
}

Percent alcohol_by_mass(Plato original, Plato apparent) {
    return Percent(balling_alcohol_by_mass(original.value(), real_extract(original, apparent).value()));
}

Percent alcohol_by_volume(Plato original, Plato apparent) {
    require_fermentation(original, apparent, "apparent extract in Plato");
    return Percent(alcohol_by_volume_pct(original.value(), apparent.value()));
}

Percent alcohol_by_volume(SpecificGravity original, SpecificGravity final) {
    return alcohol_by_volume(plato(original), plato(final));
}

Plato original_extract(Percent alcohol_by_mass, Plato real) {
    require_range(alcohol_by_mass.value(), 0.0, 20.0, "alcohol in per cent by mass");
    require_range(real.value(), 0.0, 35.0, "real extract in Plato");
    return Plato(balling_original_extract(alcohol_by_mass.value(), real.value()));
}

Percent apparent_attenuation(Plato original, Plato apparent) {
    require_fermentation(original, apparent, "apparent extract in Plato");
    require_extract_to_ferment(original);
    return Percent(attenuation_pct(original.value(), apparent.value()));
}

Percent real_attenuation(Plato original, Plato real) {
    require_fermentation(original, real, "real extract in Plato");
    require_extract_to_ferment(original);
    return Percent(attenuation_pct(original.value(), real.value()));
}

Percent real_degree_of_fermentation(Plato original, Plato real) {
    require_fermentation(original, real, "real extract in Plato");
    require_extract_to_ferment(original);
    return Percent(real_degree_of_fermentation_pct(original.value(), real.value()));
}

} // namespace lotwort::wort
