// Small pieces of HTML, written so that an XML reader takes them too: every element closed, every attribute quoted.
// A `text` is plain and is escaped here; `inner` is HTML already.
#pragma once

#include <lotwort/report/table.hpp>
#include <string>
#include <string_view>

namespace lotwort::report::html {

[[nodiscard]] std::string escaped(std::string_view text);
// Of a piece of what is in the units of the answer already (report/units.hpp): alone, the kg of somebody's "5 kg bags"
// would be taken for a unit.
[[nodiscard]] std::string escaped_piece(std::string_view text);

// <name attributes>inner</name>
[[nodiscard]] std::string element(std::string_view name, std::string_view inner, std::string_view attributes = {});
// In a paragraph, an item of a list and a cell that may be broken, dates and options of commands stay whole.
[[nodiscard]] std::string of_text(std::string_view name, std::string_view text, std::string_view attributes = {});

// A number below nothing with a minus sign, which a hyphen is not: -0.4 to +1.2. What follows a command is to be typed,
// and stays.
[[nodiscard]] std::string with_minus_signs(std::string_view text);

// The inner part of a sentence: dates and options of commands stay whole, codes of pages are links.
[[nodiscard]] std::string running(std::string_view text);

// A paragraph for each line of the text; a line that begins with a space goes on with the one before, as `wrapped`
// breaks them.
[[nodiscard]] std::string paragraphs(std::string_view text);

// A section under a heading; nothing where the inner part is empty.
[[nodiscard]] std::string section(std::string_view heading, std::string_view inner);

// The table in a box that scrolls sideways by itself on a narrow screen; the first column heads its row, and one in
// which nothing stands is left out. The figures of a column that share a unit have the same decimals. Codes are links
// where pages are written together (lotwort/report/links.hpp).
[[nodiscard]] std::string table(const Table& table, std::string_view caption);

// The same, of which so many rows are in sight and the others folded: "980 earlier brews".
[[nodiscard]] std::string folded_table(const Table& table, std::string_view caption, std::size_t shown,
                                       std::string_view earlier);

} // namespace lotwort::report::html
