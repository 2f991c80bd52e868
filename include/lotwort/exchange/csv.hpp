// A table of comma-separated values as other programs write it: RFC 4180, and the same with semicolons or tabs.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

struct CsvRow {
    std::size_t line = 1; // that it begins on
    std::vector<std::string> cells;
};

struct CsvTable {
    std::vector<std::string> header;
    std::vector<CsvRow> rows; // as many cells as the header has; lines without any text are passed over
    char separator = ',';
};

// The separator is the one of comma, semicolon and tab that the header has most of. A cell in quotes may hold
// separators, line ends and doubled quotes. Lines end in LF or CR LF; a byte order mark is passed over; spaces around
// a cell that is not quoted are taken off. Error(refused), with the line, for a quote that is not closed or has text
// behind it, or a row of another length. Also for a header that is empty or names a column twice, and for text that
// is not UTF-8.
[[nodiscard]] CsvTable read_csv(std::string_view text, std::string_view source);

} // namespace lotwort
