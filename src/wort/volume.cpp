#include "range.hpp"
#include <lotwort/wort/volume.hpp>

namespace lotwort::wort {

Litres volume_at(Litres volume, Plato extract, Celsius from, Celsius to) {
    require_extract(extract);
    require_temperature(from);
    require_temperature(to);
    return Litres(volume_at_l(volume.value(), extract.value() / 100.0, from.value(), to.value()));
}

Kilograms wort_mass(Litres volume, Celsius at, Plato extract) {
    return Kilograms(volume.value() * wort_density(extract, at).value() / 1000.0);
}

Kilograms extract_mass(Litres volume, Celsius at, Plato extract) {
    return wort_mass(volume, at, extract) * (extract.value() / 100.0);
}

Litres volume_holding(Kilograms extract_held, Plato extract) {
    require_range(extract.value(), 1e-6, most_plato, "extract in Plato");
    return Litres(extract_held / extract_mass(Litres(1.0), Celsius(20.0), extract));
}

} // namespace lotwort::wort
