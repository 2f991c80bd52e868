#include <array>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/utf8.hpp>
#include <lotwort/exchange/json_writer.hpp>
#include <utility>

namespace lotwort {

namespace {

// What shows nothing is written as its number: a document is looked at in a terminal, too.
bool needs_escape(char32_t code) {
    return code == U'"' || code == U'\\' || is_hidden(code);
}

// Printable ASCII but for the quote and the backslash: what nearly every text is made of, and stands as it is.
constexpr std::array<bool, 256> plain_bytes = [] {
    std::array<bool, 256> plain{};
    for (std::size_t byte = 0x20; byte < 0x7F; ++byte) plain[byte] = byte != '"' && byte != '\\';
    return plain;
}();

bool is_plain(std::string_view text) {
    bool plain = true;
    for (const char c : text) plain = plain && plain_bytes[static_cast<unsigned char>(c)];
    return plain;
}

// \u202e; above U+FFFF in two halves, as JSON has it.
void append_code(std::string& out, char32_t code) {
    const auto number = static_cast<std::uint32_t>(code);
    if (number > 0xFFFF)
        out += fmt::format("\\u{:04x}\\u{:04x}", 0xD7C0 + (number >> 10U), 0xDC00 + (number & 0x3FFU));
    else
        out += fmt::format("\\u{:04x}", number);
}

void append_escaped(std::string& out, char32_t code) {
    switch (code) {
    case '"':
        out += "\\\"";
        break;
    case '\\':
        out += "\\\\";
        break;
    case '\b':
        out += "\\b";
        break;
    case '\f':
        out += "\\f";
        break;
    case '\n':
        out += "\\n";
        break;
    case '\r':
        out += "\\r";
        break;
    case '\t':
        out += "\\t";
        break;
    default:
        append_code(out, code);
    }
}

// What arithmetic leaves behind twelve digits is no figure.
double to_twelve_digits(double number) {
    std::array<char, 32> buffer{};
    const auto written = std::to_chars(buffer.begin(), buffer.end(), number, std::chars_format::scientific, 11);
    LOTWORT_CHECK(written.ec == std::errc());
    double rounded = 0.0;
    std::from_chars(buffer.data(), written.ptr, rounded);
    return rounded;
}

} // namespace

JsonWriter& JsonWriter::begin(char opener, Layout layout) {
    before_value();
    const bool inherited = levels_.empty() ? indent_ == 0 : levels_.back().one_line;
    levels_.push_back({opener, inherited || layout == Layout::one_line, true});
    out_ += opener;
    return *this;
}

JsonWriter& JsonWriter::end(char opener, char closer) {
    LOTWORT_CHECK(!levels_.empty() && levels_.back().opener == opener && !after_key_);
    const Level level = levels_.back();
    levels_.pop_back();
    if (!level.empty && !level.one_line) new_line(levels_.size());
    out_ += closer;
    done_ = levels_.empty();
    return *this;
}

JsonWriter& JsonWriter::key(std::string_view name) {
    LOTWORT_CHECK(!levels_.empty() && levels_.back().opener == '{' && !after_key_);
    separate();
    quoted(name);
    out_ += ": ";
    after_key_ = true;
    return *this;
}

JsonWriter& JsonWriter::value(std::string_view text) {
    before_value();
    quoted(text);
    done_ = levels_.empty();
    return *this;
}

JsonWriter& JsonWriter::value(double number) {
    LOTWORT_CHECK(std::isfinite(number));
    if (digits_ == Digits::twelve) number = to_twelve_digits(number);
    if (number == 0.0) return literal("0"); // -0 is no news to a reader
    const double size = std::abs(number);
    std::array<char, 40> buffer{};
    const auto format = size >= 1e-6 && size < 1e15 ? std::chars_format::fixed : std::chars_format::general;
    const auto written = std::to_chars(buffer.begin(), buffer.end(), number, format);
    LOTWORT_CHECK(written.ec == std::errc());
    return literal({buffer.data(), written.ptr});
}

JsonWriter& JsonWriter::integer(std::int64_t number) {
    std::array<char, 24> buffer{};
    const auto written = std::to_chars(buffer.begin(), buffer.end(), number);
    return literal({buffer.data(), written.ptr});
}

JsonWriter& JsonWriter::literal(std::string_view text) {
    LOTWORT_CHECK(!text.empty());
    before_value();
    out_ += text;
    done_ = levels_.empty();
    return *this;
}

std::string JsonWriter::text() && {
    LOTWORT_CHECK(levels_.empty() && done_);
    out_ += '\n';
    return std::move(out_);
}

void JsonWriter::before_value() {
    if (after_key_) {
        after_key_ = false;
        return;
    }
    LOTWORT_CHECK(!done_ && (levels_.empty() || levels_.back().opener == '['));
    if (!levels_.empty()) separate();
}

void JsonWriter::separate() {
    Level& level = levels_.back();
    if (!level.empty) out_ += level.one_line ? ", " : ",";
    level.empty = false;
    if (!level.one_line) new_line(levels_.size());
}

void JsonWriter::new_line(std::size_t depth) {
    out_ += '\n';
    out_.append(depth * static_cast<std::size_t>(indent_), ' ');
}

void JsonWriter::quoted(std::string_view text) {
    if (is_plain(text)) {
        const std::size_t at = out_.size();
        out_.resize(at + text.size() + 2, '"');
        text.copy(out_.data() + at + 1, text.size());
        return;
    }
    if (const auto bad = find_invalid_utf8(text))
        throw Error(ErrorKind::refused,
                    fmt::format("a text is not UTF-8 from its byte {} on, after `{}`", *bad + 1, text.substr(0, *bad)),
                    "write the name again in a terminal or editor that is set to UTF-8");
    out_ += '"';
    std::size_t from = 0;
    for (std::size_t i = 0; i < text.size();) {
        const CodePoint point = code_point_at(text, i);
        const std::size_t next = i + point.length;
        if (needs_escape(point.code)) {
            out_ += text.substr(from, i - from);
            append_escaped(out_, point.code);
            from = next;
        }
        i = next;
    }
    out_ += text.substr(from);
    out_ += '"';
}

} // namespace lotwort
