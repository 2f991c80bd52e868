// Golden tables: tests/golden/*.tsv, one row, one check. A row holds an input, a published value, the
// tolerance its printing allows, and its source.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace lotwort::test {

struct GoldenRow {
    std::string id;
    std::string function;
    std::map<std::string, double> args;       // from name=value;name=value
    std::map<std::string, std::string> words; // those whose value is no number
    double expected = 0.0;
    double tolerance = 0.0;
    std::string status; // confirmed, computed, or memory (a soft check)
    std::string source;
    [[nodiscard]] double arg(const std::string& name) const; // fails the test where the row lacks it
};

// The rows of tests/golden/NAME. Columns by header: id, function, args, expected, tol, unit, status, source, note.
[[nodiscard]] std::vector<GoldenRow> golden_rows(const std::string& name);

// The text of a file below the project's top folder.
[[nodiscard]] std::string project_file(const std::string& path);

} // namespace lotwort::test
