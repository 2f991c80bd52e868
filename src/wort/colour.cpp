#include "range.hpp"
#include <lotwort/wort/colour.hpp>

namespace lotwort::wort {

MaltColourUnits malt_colour_units(Kilograms mass, Lovibond colour, Litres volume) {
    require_range(volume.value(), 1e-6, 1e9, "volume in L");
    return MaltColourUnits(malt_colour_units(mass.value(), colour.value(), volume.value()));
}

Ebc beer_colour(MaltColourUnits units) {
    require_range(units.value(), 0.0, 1e6, "malt colour units");
    return Ebc(morey_ebc(units.value()));
}

MaltColourUnits colour_units_for(Ebc beer) {
    require_range(beer.value(), 0.0, 1e6, "colour in EBC");
    return MaltColourUnits(morey_colour_units(beer.value()));
}

} // namespace lotwort::wort
