// Tables of text that fit the line they are laid out for, and the same rows as CSV.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lotwort::report {

enum class Align { left, right }; // names left, numbers right

struct Column {
    std::string heading;
    Align align = Align::left;
    bool shrinks = false; // gives way, with an ellipsis, where the table would be wider than the line
};

// Rows of cells under headings; a row may be shorter than the headings.
struct Table {
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows;
};

// What this thread lays out is for lines of so many columns: of the terminal that reads it, else of the usual one.
inline constexpr std::size_t usual_line = 80, least_line = 40, most_line = 200;
[[nodiscard]] std::size_t line_width();
[[nodiscard]] std::size_t prose_width(); // no wider than the usual one: longer lines are hard to read

// While it lives, lines are as wide as that, within the limits above. Prose stays within the usual line all the same.
class LinesOf {
public:
    explicit LinesOf(std::size_t columns);
    ~LinesOf();
    LinesOf(const LinesOf&) = delete;
    LinesOf& operator=(const LinesOf&) = delete;

private:
    std::size_t before_;
};

// Headings, then rows, two spaces between columns, no spaces at line ends. What had to be cut ends in an
// ellipsis; --json and --csv carry it whole. Widths count characters, not bytes.
[[nodiscard]] std::string table_text(const Table& table, std::size_t width = line_width());

// Characters of UTF-8 text that take a column (combining marks take none).
[[nodiscard]] std::size_t display_width(std::string_view text);

// One cell of CSV, RFC 4180: quoted where it holds a comma, a quote or a line break. Text that a spreadsheet would take
// for a formula (it begins with =, +, - or @, and is no number) has a ' before it; read_csv takes that off. What
// is hidden is written out, as visible_text does.
[[nodiscard]] std::string csv_cell(std::string_view text);

// One record, ended by CR LF as RFC 4180 has it.
[[nodiscard]] std::string csv_row(const std::vector<std::string>& cells);

} // namespace lotwort::report
