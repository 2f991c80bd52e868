// Numbers as text, the same in every locale. A figure is printed no finer than it is known.
#pragma once

#include <string>
#include <string_view>

namespace lotwort {

// With so many decimals, rounded half to even on the double's exact value; never "-0.0".
[[nodiscard]] std::string fixed(double value, int decimals);

// The shortest decimal that reads back to the same double: 0.1, 25, 1e-07.
[[nodiscard]] std::string shortest(double value);

// For people to read: rounded to six digits, or to whole numbers above them. 65.5556 of 150 °F in °C, 23, 1.0405,
// 1234567.
[[nodiscard]] std::string readable(double value);

// Decimals that show two significant digits of sd: 3 for 0.0612 (0.061), 0 for 12, and -1 for 123 (120).
[[nodiscard]] int decimals_for(double sd);

// The value rounded to its uncertainty, GUM 7.2.6: two significant digits of the sd, the value to the same decimal.
// "81.2 ± 1.6 %", "1230 ± 120 L". most_decimals keeps a figure to the digits its trade reads, one digit of the sd
// at least: 4 for a gravity, "1.0452 ± 0.0006". The unit may be empty. An sd of 0: the value alone.
[[nodiscard]] std::string with_sd(double value, double sd, std::string_view unit = {}, int most_decimals = 17);

// "78.6 to 83.8 %", both ends to the decimals that the sd asks for.
[[nodiscard]] std::string interval(double low, double high, double sd, std::string_view unit = {});

// "1 brew", "3 brews"; a word with another plural says it: counted(2, "wash", "washes").
[[nodiscard]] std::string counted(long long number, std::string_view one, std::string_view many = {});

} // namespace lotwort
