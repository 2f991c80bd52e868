// What a glass hydrometer shows in wort that is warmer or colder than its stem was made for.
//
// Two things move the reading: the wort's own density, and the glass, which swells and so floats higher. A
// table of water density alone leaves the glass out and is 0.6 gravity points wrong at 40 C.
//
// The mark m of a stem made for T0 stands for the density m * rho(0, T0): its scale is relative density
// T0/T0. In wort at T it floats at that mark where
//
//     rho(w, T) * (1 + g (T - T0)) = m * rho(0, T0),   g = 25e-6 per K (ISO 1768:1975)
//
// A stem marked in Plato or Brix has rho(p, T0) on the right. Range 0 to 100 C for the equation; a reading
// above 60 C is better cooled first. Accuracy: NBS C440 correction table within 0.035 (0.06 above 30) % by
// mass (tests/golden/hydrometer.tsv). Fermenting beer is not a sucrose solution: there it is the trade's convention.
#pragma once

#include <lotwort/wort/gravity.hpp>

namespace lotwort::wort {

inline constexpr double glass_expansion_per_k = 25e-6; // cubic, ISO 1768:1975

// The density, at T0, that the stem's mark stands for when it floats in wort of that extract at T.
template <class Fraction, class Temperature>
[[nodiscard]] constexpr auto hydrometer_mark_density(Fraction mass_fraction, Temperature at_c, double calibration_c) {
    return sucrose_density_kg_m3(mass_fraction, at_c) * (1.0 + glass_expansion_per_k * (at_c - calibration_c));
}

// What a stem marked in specific gravity, right at calibration_c, shows in this wort at at_c. The mark is
// relative density T0/T0; for a 20 C stem that is SG 20/20.
template <class Fraction, class Temperature>
[[nodiscard]] constexpr auto hydrometer_mark_of(Fraction mass_fraction, Temperature at_c, double calibration_c) {
    return hydrometer_mark_density(mass_fraction, at_c, calibration_c) / icumsa::water_density_kg_m3(calibration_c);
}

// What a stem marked in Plato (or Brix, by mass) shows, degrees. Error(refused) beyond -10 to 97 P.
template <class Fraction, class Temperature>
[[nodiscard]] auto hydrometer_plato_mark_of(Fraction mass_fraction, Temperature at_c, double calibration_c) {
    return 100.0 * mass_fraction_of_density(hydrometer_mark_density(mass_fraction, at_c, calibration_c), calibration_c);
}

// The way back, with the slopes of the reading and of its temperature: the mass fraction of a wort in which a stem
// floats at that mark, by gravity and by degrees Plato. Error(refused) beyond -10 to 97 P.
template <class Mark, class Temperature>
[[nodiscard]] auto mass_fraction_of_mark(Mark mark, Temperature at_c, double calibration_c) {
    return mass_fraction_of_density(mark * icumsa::water_density_kg_m3(calibration_c) /
                                        (1.0 + glass_expansion_per_k * (at_c - calibration_c)),
                                    at_c);
}
template <class Mark, class Temperature>
[[nodiscard]] auto mass_fraction_of_plato_mark(Mark plato_mark, Temperature at_c, double calibration_c) {
    return mass_fraction_of_density(sucrose_density_kg_m3(plato_mark / 100.0, calibration_c) /
                                        (1.0 + glass_expansion_per_k * (at_c - calibration_c)),
                                    at_c);
}

// A reading to the extract it means. Error(refused) outside -5 to 95 P or 0 to 100 C. The mark of the first is
// a bare number because its base is the stem's temperature.
[[nodiscard]] Plato plato_from_hydrometer(double mark, Celsius at, Celsius calibration);
[[nodiscard]] Plato plato_from_hydrometer(Plato mark, Celsius at, Celsius calibration);

// A reading of an SG stem to true SG 20/20, whatever the stem's temperature.
[[nodiscard]] SpecificGravity gravity_from_hydrometer(double mark, Celsius at, Celsius calibration);

// A reading brought to the stem's own temperature: what it would have shown at T0 (relative density T0/T0).
[[nodiscard]] double corrected_hydrometer_mark(double mark, Celsius at, Celsius calibration);

} // namespace lotwort::wort
