// Where a code is a link.
#pragma once

#include <lotwort/report/links.hpp>
#include <string>
#include <string_view>

namespace lotwort::report::html {

// The cell as HTML, escaped: its codes are links where the column's heading says what they are of, or they can mean one
// page only.
[[nodiscard]] std::string linked_cell(std::string_view cell, std::string_view heading);

// The page of a word of a sentence, without the signs about it; empty where it is no code that has a digit.
[[nodiscard]] std::string_view page_of_word(std::string_view word);

// Words, escaped, that lead to a file.
[[nodiscard]] std::string link(std::string_view file, std::string_view words);

// The list of pages at the top; empty where a page stands alone.
[[nodiscard]] std::string menu();

} // namespace lotwort::report::html
