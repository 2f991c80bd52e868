#include "range.hpp"
#include <lotwort/wort/bitterness.hpp>

namespace lotwort::wort {

double utilisation(SpecificGravity gravity, Minutes boil) {
    require_range(gravity.value(), 0.99, 1.2, "specific gravity of the boil");
    require_range(boil.value(), 0.0, 1440.0, "boil in minutes");
    return tinseth_utilisation(gravity.value(), boil.value());
}

BitternessUnits bitterness(Grams hops, Percent alpha, double utilisation, Litres beer) {
    require_range(beer.value(), 1e-6, 1e9, "volume in L");
    return BitternessUnits(bitterness_ibu(hops.value(), alpha.value(), utilisation, beer.value()));
}

Grams hops_for(BitternessUnits bitterness, Percent alpha, double utilisation, Litres beer) {
    require_range(alpha.value(), 1e-6, 100.0, "alpha acid in per cent");
    require_range(utilisation, 1e-9, 1.0, "utilisation as a fraction");
    return Grams(bitterness.value() * beer.value() / (10.0 * alpha.value() * utilisation));
}

} // namespace lotwort::wort
