#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <fmt/format.h>
#include <lotwort/core/utf8.hpp>

namespace lotwort {

namespace {

unsigned byte_at(std::string_view text, std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
}

bool is_tail(unsigned byte) {
    return (byte & 0xC0U) == 0x80U;
}

// The length of the well-formed sequence that starts at i; 0 where there is none. Rows of table 3-7: only the
// second byte's bounds depend on the first.
std::size_t sequence_length(std::string_view text, std::size_t i) {
    const unsigned first = byte_at(text, i);
    const unsigned second = byte_at(text, i + 1);
    if (first < 0x80) return 1;
    if (first < 0xC2) return 0;
    if (first < 0xE0) return is_tail(second) ? 2 : 0;
    if (first < 0xF0) {
        const unsigned least = first == 0xE0 ? 0xA0 : 0x80;
        const unsigned most = first == 0xED ? 0x9F : 0xBF;
        return second >= least && second <= most && is_tail(byte_at(text, i + 2)) ? 3 : 0;
    }
    if (first < 0xF5) {
        const unsigned least = first == 0xF0 ? 0x90 : 0x80;
        const unsigned most = first == 0xF4 ? 0x8F : 0xBF;
        const bool tails = is_tail(byte_at(text, i + 2)) && is_tail(byte_at(text, i + 3));
        return second >= least && second <= most && tails ? 4 : 0;
    }
    return 0;
}

struct Span {
    char32_t first, last;
};
constexpr std::array<Span, 19> hidden{{
    {0x0000, 0x001F},   {0x007F, 0x009F},   {0x00AD, 0x00AD},   {0x034F, 0x034F},   {0x061C, 0x061C},
    {0x115F, 0x1160},   {0x17B4, 0x17B5},   {0x180B, 0x180F},   {0x200B, 0x200F},   {0x2028, 0x202E},
    {0x2060, 0x206F},   {0x3164, 0x3164},   {0xFEFF, 0xFEFF},   {0xFFA0, 0xFFA0},   {0xFFF0, 0xFFFB},
    {0x1BCA0, 0x1BCA3}, {0x1D173, 0x1D17A}, {0xE0000, 0xE0FFF}, {0xFFFFE, 0xFFFFF},
}};

// Printable ASCII, which nearly all text is.
bool is_plain(char c) {
    return c >= 0x20 && c < 0x7F;
}

bool parts_lines(std::string_view text, std::size_t at) {
    return text[at] == '\n' || text.substr(at, 2) == "\r\n";
}

std::string written_out(std::string_view text, bool of_one_line) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        const auto plain = static_cast<std::size_t>(std::ranges::find_if_not(text.substr(at), is_plain) - text.begin());
        out += text.substr(at, plain - at);
        at = plain;
        if (at == text.size()) break;
        const CodePoint point = code_point_at(text, at);
        if (point.length == 0)
            out += fmt::format("\\x{:02X}", byte_at(text, at));
        else if (is_hidden(point.code) && (of_one_line || !parts_lines(text, at)))
            out += fmt::format("\\u{{{:04X}}}", static_cast<std::uint32_t>(point.code));
        else
            out += text.substr(at, point.length);
        at += std::max<std::size_t>(point.length, 1);
    }
    return out;
}

} // namespace

std::optional<std::size_t> find_invalid_utf8(std::string_view text) {
    constexpr std::uint64_t high_bits = 0x8080808080808080ULL;
    std::size_t i = 0;
    while (i < text.size()) {
        // nearly all of a document is ASCII: eight bytes at a time
        std::uint64_t eight = 0;
        while (i + sizeof eight <= text.size()) {
            std::memcpy(&eight, text.data() + i, sizeof eight);
            if ((eight & high_bits) != 0) break;
            i += sizeof eight;
        }
        if (i == text.size()) break;
        const std::size_t length = sequence_length(text, i);
        if (length == 0) return i;
        i += length;
    }
    return std::nullopt;
}

CodePoint code_point_at(std::string_view text, std::size_t at) {
    const std::size_t length = at < text.size() ? sequence_length(text, at) : 0;
    if (length < 2) return {byte_at(text, at), length};
    char32_t code = byte_at(text, at) & (0x7FU >> length);
    for (std::size_t i = 1; i < length; ++i) code = code << 6U | (byte_at(text, at + i) & 0x3FU);
    return {code, length};
}

bool is_hidden(char32_t code) {
    return std::ranges::any_of(hidden, [&](const Span& span) { return code >= span.first && code <= span.last; });
}

std::optional<char32_t> find_hidden(std::string_view text) {
    for (std::size_t at = 0; at < text.size();) {
        if (is_plain(text[at])) {
            ++at;
            continue;
        }
        const CodePoint point = code_point_at(text, at);
        if (point.length > 0 && is_hidden(point.code)) return point.code;
        at += std::max<std::size_t>(point.length, 1);
    }
    return std::nullopt;
}

std::string hidden_words(char32_t code) {
    if (code == U'\n' || code == U'\r') return "a line end";
    if (code == U'\t') return "a tab";
    const bool control = code < 0xA0;
    return fmt::format("{} (U+{:04X})", control ? "a control character" : "an invisible character",
                       static_cast<std::uint32_t>(code));
}

std::string visible_text(std::string_view text) {
    return written_out(text, false);
}

std::string visible_line(std::string_view text) {
    return written_out(text, true);
}

} // namespace lotwort
