#include <algorithm>
#include <charconv>
#include <lotwort/core/error.hpp>
#include <lotwort/core/utf8.hpp>
#include <lotwort/report/table.hpp>
#include <lotwort/report/units.hpp>
#include <numeric>

namespace lotwort::report {

namespace {

constexpr std::size_t gap = 2;
constexpr std::size_t least_column = 6; // a name cut shorter says nothing

// The bytes of the character that begins at `at`; text is UTF-8 already.
std::size_t character_bytes(std::string_view text, std::size_t at) {
    std::size_t end = at + 1;
    while (end < text.size() && (static_cast<unsigned char>(text[end]) & 0xc0) == 0x80) ++end;
    return end - at;
}

// U+0300 to U+036F: marks that sit on the letter before them.
bool is_combining(std::string_view character) {
    if (character.size() != 2) return false;
    const auto first = static_cast<unsigned char>(character[0]);
    const auto second = static_cast<unsigned char>(character[1]);
    return first == 0xcc || (first == 0xcd && second < 0xb0);
}

// Of text that is wider.
std::string cut(const std::string& text, std::size_t width) {
    std::size_t at = 0;
    std::size_t shown = 0;
    while (at < text.size()) {
        const std::size_t bytes = character_bytes(text, at);
        const std::size_t columns = is_combining(std::string_view(text).substr(at, bytes)) ? 0 : 1;
        if (shown + columns > width - 1) break;
        shown += columns;
        at += bytes;
    }
    while (at > 0 && text[at - 1] == ' ') --at;
    return text.substr(0, at) + "…";
}

std::vector<std::size_t> natural_widths(const Table& table) {
    std::vector<std::size_t> widths;
    for (const auto& column : table.columns) widths.push_back(display_width(column.heading));
    for (const auto& row : table.rows) {
        LOTWORT_CHECK(row.size() <= widths.size());
        for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], display_width(row[i]));
    }
    return widths;
}

// The widest column that may shrink gives up one character after another until the line fits.
void fit(const Table& table, std::vector<std::size_t>& widths, std::size_t line) {
    const auto total = [&] {
        return std::accumulate(widths.begin(), widths.end(), std::size_t{0}) + gap * (widths.size() - 1);
    };
    while (!widths.empty() && total() > line) {
        std::size_t widest = widths.size();
        for (std::size_t i = 0; i < widths.size(); ++i)
            if (table.columns[i].shrinks && widths[i] > least_column &&
                (widest == widths.size() || widths[i] > widths[widest]))
                widest = i;
        if (widest == widths.size()) return;
        --widths[widest];
    }
}

std::string line_of(const Table& table, const std::vector<std::string>& cells, const std::vector<std::size_t>& widths) {
    std::string line;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        if (i > 0) line.append(gap, ' ');
        const bool is_long = display_width(cells[i]) > widths[i];
        const std::string shortened = is_long ? cut(cells[i], widths[i]) : std::string();
        const std::string& cell = is_long ? shortened : cells[i];
        const std::size_t blanks = widths[i] - display_width(cell);
        if (table.columns[i].align == Align::right) line.append(blanks, ' ');
        line += cell;
        if (table.columns[i].align == Align::left) line.append(blanks, ' ');
    }
    line.erase(line.find_last_not_of(' ') + 1);
    return line + "\n";
}

// Figures of ours, -0.5 and 1e-05; to a spreadsheet +5 kg and -1+2 are formulas.
bool is_number(std::string_view text) {
    double value = 0.0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    return fault == std::errc() && end == text.data() + text.size() &&
           text.find_first_not_of("0123456789.eE+-") == std::string_view::npos;
}

// What a spreadsheet would reckon with instead of showing it. Text that begins as guarded text does is guarded too, so
// that it comes back as it was.
bool is_formula(std::string_view text) {
    const auto first = text.find_first_not_of('\'');
    return first != std::string_view::npos && std::string_view("=+-@").find(text[first]) != std::string_view::npos &&
           !is_number(text);
}

std::size_t& width_of_lines() {
    thread_local std::size_t width = usual_line;
    return width;
}

} // namespace

std::size_t line_width() {
    return width_of_lines();
}

std::size_t prose_width() {
    return std::min(usual_line, line_width());
}

LinesOf::LinesOf(std::size_t columns) : before_(width_of_lines()) {
    width_of_lines() = std::clamp(columns, least_line, most_line);
}

LinesOf::~LinesOf() {
    width_of_lines() = before_;
}

std::size_t display_width(std::string_view text) {
    const bool plain =
        std::none_of(text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) > 127; });
    if (plain) return text.size();
    std::size_t width = 0;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t bytes = character_bytes(text, at);
        if (!is_combining(text.substr(at, bytes))) ++width;
        at += bytes;
    }
    return width;
}

std::string table_text(const Table& given, std::size_t width) {
    Table table = as_answered(given);
    for (auto& row : table.rows)
        for (std::string& cell : row) cell = visible_line(cell);
    auto widths = natural_widths(table);
    fit(table, widths, width);
    std::vector<std::string> headings;
    for (const auto& column : table.columns) headings.push_back(column.heading);
    std::string text = line_of(table, headings, widths);
    for (const auto& row : table.rows) text += line_of(table, row, widths);
    return text;
}

std::string csv_cell(std::string_view given) {
    std::string text = visible_text(given);
    if (is_formula(text)) text.insert(0, 1, '\'');
    if (text.find_first_of(",\"\r\n") == std::string::npos && !text.starts_with(' ') && !text.ends_with(' '))
        return text;
    std::string quoted = "\"";
    for (char c : text) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + "\"";
}

std::string csv_row(const std::vector<std::string>& cells) {
    std::string row;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        if (i > 0) row += ',';
        row += csv_cell(cells[i]);
    }
    return row + "\r\n";
}

} // namespace lotwort::report
