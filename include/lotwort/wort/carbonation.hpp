// Carbon dioxide in beer: what stays of the fermentation, what a pressure holds, and what priming makes.
//
// Henry's law with van 't Hoff's slope, as brewers' pressure tables follow it:
//
//     c = p 10 exp(2617.25/T - 10.73797)     c in g/L, p in bar absolute, T in K
//
// Range: -2 to 40 C, to 6 bar. Accuracy against the pressure table of brewers' methods of analysis (tests/golden/
// carbonation.tsv): 3 %; of beer at 6 C as measured (Liger-Belair and Cilindre 2021), 2.4 g/L and bar: 7 %; water holds
// 4 to 9 % more (Murray and Riley 1971). Stronger beer and sweeter beer hold less: take +-5 %.
//
// What priming makes is Balling's balance (wort/alcohol.hpp): 2.0665 g of extract give 1 g of alcohol, 0.9565 g of gas.
#pragma once

#include <lotwort/core/quantity.hpp>

namespace lotwort::wort {

inline constexpr double sea_level_bar = 1.01325;
inline constexpr double gas_per_extract = 0.9565 / 2.0665, alcohol_per_extract = 1.0 / 2.0665; // g/g, Balling
inline constexpr double carbon_dioxide_g_per_volume = 1.9768; // of 1 L of the gas at 0 C and 1.01325 bar

// g/L that beer holds under so much of the gas. Error(refused) outside -2 to 40 C, or below 0 or above 10 bar.
[[nodiscard]] double carbon_dioxide_held(Celsius at, double bar_absolute);

// Bar above the air's that holds so many g/L; below 0 where less than the air's pressure of the gas does.
[[nodiscard]] double gauge_pressure(double g_per_l, Celsius at);

// g/L that stay in beer which fermented in the open and then was no warmer than that.
[[nodiscard]] double carbon_dioxide_left(Celsius warmest);

// g of fermentable extract per litre that lift the gas from one to the other; 0 where it is there already.
[[nodiscard]] double priming_extract(double left_g_per_l, double wanted_g_per_l);

// Per cent by volume that so many g/L of fermented extract add.
[[nodiscard]] Percent alcohol_of_priming(double extract_g_per_l);

} // namespace lotwort::wort
