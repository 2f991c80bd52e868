// Blending and dilution: two worts, a wort and liquor, two beers.
//
// Litres do not add: 10 L of strong wort and 10 L of liquor are a little less than 20 L. Kilograms do. So everything is
// brought to mass, mixed, and brought back:
//
//     m = V rho(w, 20),   w = (m1 w1 + m2 w2)/(m1 + m2),   V = (m1 + m2)/rho(w, 20)
//
// all volumes at 20 C, the density of density.hpp. In beer the real extract and the alcohol mix by mass each on its own
// account; the beer's density, and with it the apparent extract, follows by Tabarie's rule (alcohol_rules.hpp).
// Accuracy: that of the density, 1e-4 of the volume for wort; a few times that for beer. Error(refused) for extract
// outside -5 to 95 P (0 to 35 in beer) and volumes below nothing, or nothing on both sides.
#pragma once

#include <lotwort/core/quantity.hpp>
#include <lotwort/wort/alcohol_rules.hpp>
#include <lotwort/wort/volume.hpp>

namespace lotwort::wort {

// Strength (any per cent or fraction by mass) of two masses mixed.
template <class Mass1, class Strength1, class Mass2, class Strength2>
[[nodiscard]] constexpr auto mixed_by_mass(Mass1 mass_1, Strength1 strength_1, Mass2 mass_2, Strength2 strength_2) {
    return (mass_1 * strength_1 + mass_2 * strength_2) / (mass_1 + mass_2);
}

// Kilograms of volume_l at 20 C.
template <class Volume, class Fraction>
[[nodiscard]] constexpr auto wort_mass_kg(Volume volume_l, Fraction mass_fraction) {
    return volume_l * sucrose_density_kg_m3(mass_fraction, 20.0) / 1000.0;
}

template <class V1, class W1, class V2, class W2>
[[nodiscard]] constexpr auto blended_mass_fraction(V1 volume_1_l, W1 fraction_1, V2 volume_2_l, W2 fraction_2) {
    return mixed_by_mass(wort_mass_kg(volume_1_l, fraction_1), fraction_1, wort_mass_kg(volume_2_l, fraction_2),
                         fraction_2);
}

template <class V1, class W1, class V2, class W2>
[[nodiscard]] constexpr auto blended_volume_l(V1 volume_1_l, W1 fraction_1, V2 volume_2_l, W2 fraction_2) {
    const auto fraction = blended_mass_fraction(volume_1_l, fraction_1, volume_2_l, fraction_2);
    return 1000.0 * (wort_mass_kg(volume_1_l, fraction_1) + wort_mass_kg(volume_2_l, fraction_2)) /
           sucrose_density_kg_m3(fraction, 20.0);
}

// Litres of liquor that bring wort down from one strength to another: m (w/w' - 1) kg of water.
template <class Volume, class From, class To>
[[nodiscard]] constexpr auto dilution_liquor_l(Volume volume_l, From from_fraction, To to_fraction) {
    return 1000.0 * wort_mass_kg(volume_l, from_fraction) * (from_fraction / to_fraction - 1.0) /
           sucrose_density_kg_m3(0.0, 20.0);
}

struct WortVolume {
    Litres volume;
    Plato extract;
};

struct Blend {
    WortVolume wort;
    Litres contraction; // the two volumes less the blend's
};
[[nodiscard]] Blend blend(WortVolume a, WortVolume b);

// Error(refused) also unless 0 < to <= the wort's extract.
[[nodiscard]] Litres liquor_for_dilution(WortVolume wort, Plato to);

// What was read of a blend less what went into it: extract and water, kg. Extract too much or water too little is a
// reading's fault or a loss; water too much is liquor that nobody recorded.
struct BlendResidual {
    Kilograms extract;
    Kilograms water;
};
[[nodiscard]] BlendResidual blend_residual(WortVolume a, WortVolume b, WortVolume as_read);

struct BeerVolume {
    Litres volume;
    Plato real; // real extract
    Percent alcohol_by_mass;
};

// kg/m3 at 20 C by Tabarie's rule.
template <class Residue, class Alcohol>
[[nodiscard]] auto beer_density_kg_m3(Residue real, Alcohol by_mass) {
    return sucrose_density_kg_m3(0.0, 20.0) * beer_gravity(real, by_mass);
}

struct BeerBlend {
    BeerVolume beer;
    Plato apparent;
    Percent alcohol_by_volume;
    Litres contraction;
};
// Error(refused) also for alcohol outside 0 to 20 % by mass.
[[nodiscard]] BeerBlend blend(BeerVolume a, BeerVolume b);

} // namespace lotwort::wort
