// Sugar, honey or juice given to beer in the fermenter: what the beer was made of in all, and how far all of it
// fermented.
//
// The wort was read before. Of w kg with O per cent of extract, and s kg of extract in s + q kg that came later:
//
//     original in all   O' = (w O + 100 s) / (w + s + q)
//     attenuation       A' = (0.8192 A w O/100 + f) / (0.8192 (w O/100 + s))
//
// A is the wort's apparent attenuation, 0.8192 A its real one (Balling, alcohol.hpp); f kg of the s are fermentable,
// and yeast takes them whole. Alcohol and final gravity are then Balling's of O' and A'. By hand: 20 L of 12 P (20.93
// kg, 2.511 kg of extract) at 75 % and 1 kg of sucrose are 16.0 P at 88.4 %, 7.8 % by volume against 4.9 % without.
#pragma once

#include <lotwort/wort/alcohol.hpp>

namespace lotwort::wort {

struct LateExtract {
    double extract_kg = 0.0, fermentable_kg = 0.0; // of the extract
    double water_kg = 0.0;                         // what came with it
    [[nodiscard]] bool is_any() const { return extract_kg + water_kg > 0.0; }
    friend bool operator==(const LateExtract&, const LateExtract&) = default;
};

// In degrees and kg, each argument double or Dual<N>, and unchecked.
template <class Plato, class Mass>
[[nodiscard]] constexpr auto original_in_all(Plato original, Mass wort_kg, const LateExtract& late) {
    return (original * wort_kg + 100.0 * late.extract_kg) / (wort_kg + (late.extract_kg + late.water_kg));
}

template <class Attenuation, class Plato, class Mass>
[[nodiscard]] constexpr auto attenuation_in_all(Attenuation attenuation, Plato original, Mass wort_kg,
                                                const LateExtract& late) {
    const auto of_wort = original * wort_kg / 100.0;
    return (balling_real_share * attenuation * of_wort + late.fermentable_kg) /
           (balling_real_share * (of_wort + late.extract_kg));
}

// The other way: the wort's own attenuation, where that of all of it was read.
template <class Attenuation, class Plato, class Mass>
[[nodiscard]] constexpr auto attenuation_of_wort(Attenuation in_all, Plato original, Mass wort_kg,
                                                 const LateExtract& late) {
    const auto of_wort = original * wort_kg / 100.0;
    return (balling_real_share * in_all * (of_wort + late.extract_kg) - late.fermentable_kg) /
           (balling_real_share * of_wort);
}

} // namespace lotwort::wort
