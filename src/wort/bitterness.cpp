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
    return Grams(hops_g(bitterness.value(), alpha.value(), utilisation, beer.value()));
}

double bitterness_ratio(BitternessUnits bitterness, SpecificGravity original) {
    require_range(original.value(), 1.0005, 1.2, "original gravity");
    return bitterness.value() / (1000.0 * (original.value() - 1.0));
}

Balance balance_of(double bitterness_ratio) {
    require_range(bitterness_ratio, 0.0, 100.0, "bitterness over gravity points");
    if (bitterness_ratio < 0.3) return Balance::soft;
    if (bitterness_ratio <= 0.6) return Balance::balanced;
    return bitterness_ratio <= 1.0 ? Balance::bitter : Balance::firmly_bitter;
}

double dry_hop_rate_g_per_l(Grams hops, Litres beer) {
    require_range(beer.value(), 1e-6, 1e9, "volume in L");
    return hops.value() / beer.value();
}

DryHopping dry_hopping_of(double rate_g_per_l) {
    require_range(rate_g_per_l, 0.0, 1000.0, "dry hops in g/L");
    if (rate_g_per_l == 0.0) return DryHopping::none;
    if (rate_g_per_l < 1.5) return DryHopping::light;
    if (rate_g_per_l <= 5.0) return DryHopping::modest;
    return rate_g_per_l <= 10.0 ? DryHopping::generous : DryHopping::heavy;
}

} // namespace lotwort::wort
