// Metric figures in a text, as a brewer in the United States reads them.
#pragma once

#include <lotwort/report/units.hpp>
#include <string>
#include <string_view>

namespace lotwort::report {

enum class Saying { answer, refusal };

// The text with its masses in lb and oz, volumes in gal(US) and fl oz, temperatures in °F, colours in SRM (EBC/1.97)
// and depths in inches. What is made of them is in qt/lb, gal(US)/h, oz/gal(US) and psi. The factors are those of
// NIST SP 811 (appendix B.8). A figure is told no finer than the metric one is, in two decimals at most; with ± to
// two digits of that. A difference of 2 °C is one of 3.6 °F.
//
// What is to be typed (25kg, 20C) has the digits it takes to be read as the same milligram; a refusal's, in commands.
// What stands in quotes or backticks is a name or somebody's words, and stays; a command after a backtick does not.
[[nodiscard]] std::string in_us_units(std::string_view text, Saying saying = Saying::answer);

// "12.3", "-0.4" or "± 0.2" of such a unit, without its name: all of a column are in one unit, gal(US) and never fl oz.
[[nodiscard]] std::string bare_in_us_units(std::string_view figures, std::string_view unit);

// A number of these alone: kg to lb, L to gal(US).
[[nodiscard]] ShownNumber in_us_units(double value, std::string_view unit);

} // namespace lotwort::report
