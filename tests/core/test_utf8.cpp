// What can be seen of a text, and what cannot.
#include <doctest/doctest.h>
#include <lotwort/core/utf8.hpp>
#include <string>

using namespace lotwort;

namespace {

std::string utf8(char32_t code) { // RFC 3629, section 3
    const auto tail = [&](unsigned shift) { return static_cast<char>(0x80 | ((code >> shift) & 0x3F)); };
    if (code < 0x80) return {static_cast<char>(code)};
    if (code < 0x800) return {static_cast<char>(0xC0 | (code >> 6)), tail(0)};
    if (code < 0x10000) return {static_cast<char>(0xE0 | (code >> 12)), tail(6), tail(0)};
    return {static_cast<char>(0xF0 | (code >> 18)), tail(12), tail(6), tail(0)};
}

} // namespace

TEST_CASE("controls, signs of direction and spaces without width are hidden; letters and signs of any script are not") {
    for (char32_t code = 0; code < 0x20; ++code) CHECK(is_hidden(code));
    for (char32_t code = 0x7F; code < 0xA0; ++code) CHECK(is_hidden(code));
    for (const char32_t code : {0x00AD, 0x061C, 0x200B, 0x200C, 0x200D, 0x200E, 0x200F, 0x2028, 0x2029, 0x202A, 0x202B,
                                0x202C, 0x202D, 0x202E, 0x2060, 0x2066, 0x2067, 0x2068, 0x2069, 0xFEFF, 0xE0041})
        CHECK(is_hidden(code));
    for (const char* text :
         {"pale ale malt", "Röstmalz", "солод", "麦芽", "مالت", "a\u00a0b", "🌾", "☕\ufe0f", "½ – “x”"})
        CHECK_FALSE(find_hidden(text));
}

TEST_CASE("every code point is read as it was written") {
    std::size_t wrong = 0;
    for (char32_t code = 0; code <= 0x10FFFF; ++code) {
        if (code >= 0xD800 && code < 0xE000) continue; // surrogates are no characters
        const std::string text = "m" + utf8(code) + "n";
        const CodePoint point = code_point_at(text, 1);
        if (point.code != code || point.length + 2 != text.size()) ++wrong;
        if (find_hidden(text).has_value() != is_hidden(code)) ++wrong;
        if (find_hidden(visible_line(text))) ++wrong;
        if (!is_hidden(code) && visible_line(text) != text) ++wrong;
    }
    CHECK(wrong == 0);
    CHECK(code_point_at("caf\xe9", 3).length == 0);
    CHECK(code_point_at("m", 1).length == 0);
}

TEST_CASE("what is hidden is named, and written out where it must be shown") {
    CHECK(hidden_words(*find_hidden("a\nb")) == "a line end");
    CHECK(hidden_words(*find_hidden("a\tb")) == "a tab");
    CHECK(hidden_words(*find_hidden("a\u009bb")) == "a control character (U+009B)");
    CHECK(hidden_words(*find_hidden("a\u202eb")) == "an invisible character (U+202E)");
    CHECK(visible_text("one\ntwo\r\nthree\x1b[31m\t") == "one\ntwo\r\nthree\\u{001B}[31m\\u{0009}");
    CHECK(visible_text("back\rover") == "back\\u{000D}over");
    CHECK(visible_line("one\ntwo\tthree") == "one\\u{000A}two\\u{0009}three");
    CHECK(visible_text("caf\xe9 \u202e malt") == "caf\\xE9 \\u{202E} malt");
    CHECK(visible_text("") == "");
}
