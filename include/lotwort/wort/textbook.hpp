// The figures of the brewing textbooks, printed beside our own so that they can be compared with older sheets.
//
// They are as the books have them, with what the books leave unsaid made an argument: the factor for a volume
// read hot (0.96 or 0.97), and whether P is multiplied by SG 20/20 or by density in kg/L (0.18 % apart).
#pragma once

#include <lotwort/core/quantity.hpp>

namespace lotwort::wort::textbook {

inline constexpr double hot_volume_factor_kunze = 0.96;     // W. Kunze 1962; water alone shrinks to 0.9601
inline constexpr double hot_volume_factor_pfisterer = 0.97; // Pfisterer and Stanners, MBAA Tech. Q. 21 (1984)

// Extract, kg: litres * P/100 * gravity, gravity being SG 20/20 or kg/L as the sheet has it.
[[nodiscard]] Kilograms extract(Litres volume, Plato extract, double gravity);

// Brewhouse yield, per cent of the grist's mass: 100 * extract * factor / grist. factor 1 for a volume at 20 C.
// Error(refused) where the grist is nothing.
[[nodiscard]] Percent brewhouse_yield(Litres volume, Plato extract, double gravity, Kilograms grist, double factor);

// First wort: 20 P at 3 hl of mash liquor per 100 kg, in inverse proportion (Kunze). For 12 to 25 P.
[[nodiscard]] Plato first_wort(LitresPerKilogram mash_liquor);
[[nodiscard]] LitresPerKilogram mash_liquor_for(Plato first_wort);

// First wort by balance: 100 E/(E + W + M) of E % extract dissolved, W kg liquor per 100 kg grist, M % moisture.
[[nodiscard]] Plato first_wort(Percent extract_as_is, double liquor_kg_per_100kg, Percent moisture);

// Grist, kg: litres * P/100 / (extract * efficiency), the maltsters' short form; it leaves the gravity out, so it
// is 4 to 5 % short for ordinary beers. Multiply by density in kg/L for the exact need.
[[nodiscard]] Kilograms grist_short_form(Litres volume, Plato extract, Percent efficiency, Percent extract_as_is);

// Wet spent grain: dry/(1 - water). 100 to 130 kg per 100 kg grist at 75 to 80 % water.
[[nodiscard]] Kilograms spent_grain(Kilograms dry, Percent water);

// Evaporation: per cent of the volume before the boil, both volumes at one temperature.
[[nodiscard]] Percent evaporation(Litres before, Litres after);

// Strength after the boil: extract stays, water goes. Error(refused) where more goes than there is water.
[[nodiscard]] Plato after_boil(Plato before, Kilograms wort, Kilograms evaporated);

} // namespace lotwort::wort::textbook
