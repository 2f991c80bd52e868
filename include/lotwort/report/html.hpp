// Small pieces of HTML, written so that an XML reader takes them too: every element closed, every attribute quoted.
// A `text` is plain and is escaped here; `inner` is HTML already.
#pragma once

#include <lotwort/report/table.hpp>
#include <string>
#include <string_view>

namespace lotwort::report::html {

[[nodiscard]] std::string escaped(std::string_view text);

// <name attributes>inner</name>
[[nodiscard]] std::string element(std::string_view name, std::string_view inner, std::string_view attributes = {});
// In a paragraph, an item of a list and a cell that may be broken, dates and options of commands stay whole.
[[nodiscard]] std::string of_text(std::string_view name, std::string_view text, std::string_view attributes = {});

// The inner part of a pre element: every space stays, codes of pages are links.
[[nodiscard]] std::string preformatted(std::string_view text);

// A paragraph for each line of the text; a line that begins with a space goes on with the one before, as `wrapped`
// breaks them.
[[nodiscard]] std::string paragraphs(std::string_view text);

// A section under a heading; nothing where the inner part is empty.
[[nodiscard]] std::string section(std::string_view heading, std::string_view inner);

// The table in a box that scrolls sideways by itself on a narrow screen; the first column heads its row, and one in
// which nothing stands is left out. The figures of a column that share a unit have the same decimals. Codes are links
// where pages are written together (lotwort/report/links.hpp).
[[nodiscard]] std::string table(const Table& table, std::string_view caption);

// The look of every page: colours of the palette by day and night, tables, charts, the printed page. The text of a
// style element, or of a sheet that pages name.
[[nodiscard]] std::string style_sheet();

// What a whole page has between its header and its footer; and its title. A page of this room is asked, no other.
[[nodiscard]] std::string main_of(std::string_view page);
[[nodiscard]] std::string title_of(std::string_view page); // HTML
// What its body is, for the style sheet: "labels"; empty of most.
[[nodiscard]] std::string class_of(std::string_view page);

} // namespace lotwort::report::html
