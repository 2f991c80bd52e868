// Text that comes from a file or a terminal is UTF-8 that can be seen, or it is refused. Half a letter booked today
// is a ledger that cannot be exported tomorrow. A sign that shows nothing makes two names of what looks like one, or
// writes on a terminal where nobody typed.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace lotwort {

// Where the first byte stands that is not UTF-8 (Unicode 15, table 3-7: no overlong forms, no surrogates,
// nothing above U+10FFFF); empty where all of it is.
[[nodiscard]] std::optional<std::size_t> find_invalid_utf8(std::string_view text);

// The character that begins at byte `at`; of no length where none does.
struct CodePoint {
    char32_t code = 0;
    std::size_t length = 0; // bytes
};
[[nodiscard]] CodePoint code_point_at(std::string_view text, std::size_t at);

// Control characters (line ends and tabs too), signs of writing direction, spaces without width, line and paragraph
// separators, fillers and tags. By Unicode 15: categories Cc, Zl, Zp, and Default_Ignorable_Code_Point but for the
// selectors U+FE00 to U+FE0F, which choose between two looks of a character.
[[nodiscard]] bool is_hidden(char32_t code);
// The first of them; empty where there is none. What is not UTF-8 is passed over.
[[nodiscard]] std::optional<char32_t> find_hidden(std::string_view text);
// "a line end", "a tab", "a control character (U+009B)", "an invisible character (U+202E)"
[[nodiscard]] std::string hidden_words(char32_t code);

// Text of a ledger that somebody else may have made, for a terminal or a page: what is hidden is written out as
// \u{202E}, a byte that is not UTF-8 as \xE9. Line ends stay; of one line, they are written out too.
[[nodiscard]] std::string visible_text(std::string_view text);
[[nodiscard]] std::string visible_line(std::string_view text);

} // namespace lotwort
