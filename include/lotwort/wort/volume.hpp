// Hot wort is not a smaller amount of wort: a kettle read at 95 C holds 3.6 % less when it is cold.
//
// The mass stays, so V(to) = V(from) * rho(w, from) / rho(w, to). Extract is mass, so it is the same at any
// temperature: m = V(T) * rho(w, T) * w. The product of gravity points and litres is not used: it is 0.3 to
// 0.6 % off between 5 and 25 P. Accuracy: that of the density, 1e-4; vessel walls are the vessel's.
#pragma once

#include <lotwort/core/quantity.hpp>
#include <lotwort/wort/density.hpp>

namespace lotwort::wort {

// Litres at to_c of what measures volume_l at from_c.
template <class Volume, class Fraction, class From, class To>
[[nodiscard]] constexpr auto volume_at_l(Volume volume_l, Fraction mass_fraction, From from_c, To to_c) {
    return volume_l * sucrose_density_kg_m3(mass_fraction, from_c) / sucrose_density_kg_m3(mass_fraction, to_c);
}

// Kilograms of extract in volume_l at at_c.
template <class Volume, class Fraction, class Temperature>
[[nodiscard]] constexpr auto extract_mass_kg(Volume volume_l, Fraction mass_fraction, Temperature at_c) {
    return volume_l * sucrose_density_kg_m3(mass_fraction, at_c) * mass_fraction / 1000.0;
}

// Each refuses (Error) extract outside -5 to 95 P and temperatures outside 0 to 100 C.
[[nodiscard]] Litres volume_at(Litres volume, Plato extract, Celsius from, Celsius to);
[[nodiscard]] Kilograms wort_mass(Litres volume, Celsius at, Plato extract);
[[nodiscard]] Kilograms extract_mass(Litres volume, Celsius at, Plato extract);

// The litres at 20 C of wort of that strength which hold that much extract. Error(refused) unless extract > 0 P.
[[nodiscard]] Litres volume_holding(Kilograms extract_held, Plato extract);

} // namespace lotwort::wort
