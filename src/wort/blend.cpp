#include "range.hpp"
#include <lotwort/wort/blend.hpp>

namespace lotwort::wort {

namespace {

constexpr double most_litres = 1e9;

void require_volumes(Litres a, Litres b) {
    require_range(a.value(), 0.0, most_litres, "volume in L");
    require_range(b.value(), 0.0, most_litres, "volume in L");
    require_range((a + b).value(), 1e-9, 2.0 * most_litres, "volume of both in L");
}

double fraction(Plato extract) {
    require_extract(extract);
    return extract.value() / 100.0;
}

double mass_of(const WortVolume& wort) {
    return wort_mass_kg(wort.volume.value(), fraction(wort.extract));
}

double mass_of(const BeerVolume& beer) {
    require_range(beer.real.value(), 0.0, 35.0, "real extract in Plato");
    require_range(beer.alcohol_by_mass.value(), 0.0, 20.0, "alcohol in per cent by mass");
    return beer.volume.value() * beer_density_kg_m3(beer.real.value(), beer.alcohol_by_mass.value()) / 1000.0;
}

} // namespace

Blend blend(WortVolume a, WortVolume b) {
    require_volumes(a.volume, b.volume);
    const double wa = fraction(a.extract), wb = fraction(b.extract);
    const double va = a.volume.value(), vb = b.volume.value();
    const Litres volume(blended_volume_l(va, wa, vb, wb));
    return {{volume, Plato(100.0 * blended_mass_fraction(va, wa, vb, wb))}, a.volume + b.volume - volume};
}

Litres liquor_for_dilution(WortVolume wort, Plato to) {
    require_volumes(wort.volume, wort.volume);
    require_range(to.value(), 1e-6, wort.extract.value(), "extract to dilute to in Plato");
    return Litres(dilution_liquor_l(wort.volume.value(), fraction(wort.extract), to.value() / 100.0));
}

BlendResidual blend_residual(WortVolume a, WortVolume b, WortVolume as_read) {
    require_volumes(a.volume, b.volume);
    require_volumes(as_read.volume, as_read.volume);
    const auto extract = [](const WortVolume& wort) { return mass_of(wort) * fraction(wort.extract); };
    const double more_extract = extract(as_read) - extract(a) - extract(b);
    return {Kilograms(more_extract), Kilograms(mass_of(as_read) - mass_of(a) - mass_of(b) - more_extract)};
}

BeerBlend blend(BeerVolume a, BeerVolume b) {
    require_volumes(a.volume, b.volume);
    const double ma = mass_of(a), mb = mass_of(b);
    const double real = mixed_by_mass(ma, a.real.value(), mb, b.real.value());
    const double alcohol = mixed_by_mass(ma, a.alcohol_by_mass.value(), mb, b.alcohol_by_mass.value());
    const double density = beer_density_kg_m3(real, alcohol);
    const Litres volume(1000.0 * (ma + mb) / density);
    return {{volume, Plato(real), Percent(alcohol)},
            Plato(tabarie_apparent_extract(real, alcohol)),
            Percent(alcohol * density / ethanol_20c_kg_m3),
            a.volume + b.volume - volume};
}

} // namespace lotwort::wort
