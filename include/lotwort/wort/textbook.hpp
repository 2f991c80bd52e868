// The figures of the brewing textbooks, printed beside our own so that they can be compared with older sheets.
//
// They are as the books have them. What the books leave unsaid is an argument: the factor for a volume read hot (0.96
// or 0.97), and whether P is multiplied by SG 20/20 or by density in kg/L (0.18 % apart).
#pragma once

#include <lotwort/core/quantity.hpp>

namespace lotwort::wort::textbook {

inline constexpr double hot_volume_factor_kunze = 0.96;     // W. Kunze 1962; water alone shrinks to 0.9601
inline constexpr double hot_volume_factor_pfisterer = 0.97; // Pfisterer and Stanners, MBAA Tech. Q. 21 (1984)

// Extract, kg: litres * P/100 * gravity, gravity being SG 20/20 or kg/L as the sheet has it.
template <class Volume, class Strength, class Gravity>
[[nodiscard]] constexpr auto extract_kg(Volume volume_l, Strength plato, Gravity gravity) {
    return volume_l * plato / 100.0 * gravity;
}
[[nodiscard]] Kilograms extract(Litres volume, Plato extract, double gravity);

// Brewhouse yield, per cent of the grist's mass: 100 * extract * factor / grist. factor 1 for a volume at 20 C.
// Error(refused) where the grist is nothing.
template <class Extract, class Grist, class Factor>
[[nodiscard]] constexpr auto yield_pct(Extract extract_kg, Grist grist_kg, Factor factor) {
    return 100.0 * factor * extract_kg / grist_kg;
}
[[nodiscard]] Percent brewhouse_yield(Litres volume, Plato extract, double gravity, Kilograms grist, double factor);

// First wort: 20 P at 3 hl of mash liquor per 100 kg, in inverse proportion (Kunze). For 12 to 25 P. Its own inverse:
// litres per kilogram give Plato and Plato litres per kilogram.
template <class Real>
[[nodiscard]] constexpr Real kunze_inverse_proportion(Real plato_or_l_per_kg) {
    return Real(60.0) / plato_or_l_per_kg;
}
[[nodiscard]] Plato first_wort(LitresPerKilogram mash_liquor);
[[nodiscard]] LitresPerKilogram mash_liquor_for(Plato first_wort);

// First wort by balance: 100 E/(E + W + M) of E % extract dissolved, W kg liquor per 100 kg grist, M % moisture.
template <class Extract, class Liquor, class Moisture>
[[nodiscard]] constexpr auto first_wort_plato(Extract extract_pct, Liquor liquor_kg_per_100kg, Moisture moisture_pct) {
    return 100.0 * extract_pct / (extract_pct + liquor_kg_per_100kg + moisture_pct);
}
[[nodiscard]] Plato first_wort(Percent extract_as_is, double liquor_kg_per_100kg, Percent moisture);

// Grist, kg: litres * P/100 / (extract * efficiency), the maltsters' short form; it leaves the gravity out, so it
// is 4 to 5 % short for ordinary beers. Multiply by density in kg/L for the exact need.
template <class Volume, class Strength, class Efficiency, class Extract>
[[nodiscard]] constexpr auto short_form_grist_kg(Volume volume_l, Strength plato, Efficiency efficiency_pct,
                                                 Extract extract_pct) {
    return 100.0 * volume_l * plato / (efficiency_pct * extract_pct);
}
[[nodiscard]] Kilograms grist_short_form(Litres volume, Plato extract, Percent efficiency, Percent extract_as_is);

// Wet spent grain: dry/(1 - water). 100 to 130 kg per 100 kg grist at 75 to 80 % water.
template <class Mass, class Water>
[[nodiscard]] constexpr auto wet_spent_grain_kg(Mass dry_kg, Water water_pct) {
    return dry_kg / (1.0 - water_pct / 100.0);
}
[[nodiscard]] Kilograms spent_grain(Kilograms dry, Percent water);

// Evaporation: per cent of the volume before the boil, both volumes at one temperature.
template <class Before, class After>
[[nodiscard]] constexpr auto evaporation_pct(Before before_l, After after_l) {
    return 100.0 * (before_l - after_l) / before_l;
}
[[nodiscard]] Percent evaporation(Litres before, Litres after);

// Strength after the boil: extract stays, water goes. Error(refused) where more goes than there is water.
template <class Strength, class Mass, class Water>
[[nodiscard]] constexpr auto after_boil_plato(Strength before_plato, Mass wort_kg, Water evaporated_kg) {
    return before_plato * wort_kg / (wort_kg - evaporated_kg);
}
[[nodiscard]] Plato after_boil(Plato before, Kilograms wort, Kilograms evaporated);

} // namespace lotwort::wort::textbook
