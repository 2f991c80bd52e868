// The pieces that pages of this room alone are made of, beside those that are known outside.
#pragma once

#include <lotwort/report/html.hpp>

namespace lotwort::report::html {

// Of a piece of what is in the units of the answer already (report/units.hpp): alone, the kg of somebody's "5 kg bags"
// would be taken for a unit.
[[nodiscard]] std::string escaped_piece(std::string_view text);

// A number below nothing with a minus sign, which a hyphen is not: -0.4 to +1.2. What follows a command is to be typed,
// and stays.
[[nodiscard]] std::string with_minus_signs(std::string_view text);

// The inner part of a sentence: dates and options of commands stay whole, codes of pages are links.
[[nodiscard]] std::string running(std::string_view text);

// A table of which so many rows are in sight and the others folded: "980 earlier brews".
[[nodiscard]] std::string folded_table(const Table& table, std::string_view caption, std::size_t shown,
                                       std::string_view earlier);

} // namespace lotwort::report::html
