#include "golden.hpp"
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
#include <stdexcept>

namespace lotwort::test {

namespace {

std::vector<std::string> split(const std::string& text, char separator) {
    std::vector<std::string> parts{""};
    for (char c : text) {
        if (c == separator)
            parts.emplace_back();
        else
            parts.back() += c;
    }
    return parts;
}

} // namespace

double GoldenRow::arg(const std::string& name) const {
    const auto found = args.find(name);
    if (found == args.end()) throw std::runtime_error("golden row " + id + " has no argument " + name);
    return found->second;
}

std::vector<GoldenRow> golden_rows(const std::string& name) {
    std::istringstream in(project_file("tests/golden/" + name));
    std::string line;
    std::getline(in, line);
    const auto header = split(line, '\t');
    std::vector<GoldenRow> rows;
    while (std::getline(in, line)) {
        if (line.empty() || line[0] == '#') continue;
        const auto cells = split(line, '\t');
        std::map<std::string, std::string> row;
        for (std::size_t i = 0; i < header.size() && i < cells.size(); ++i) row[header[i]] = cells[i];
        GoldenRow golden;
        golden.id = row["id"];
        golden.function = row["function"];
        golden.expected = std::stod(row["expected"]);
        golden.tolerance = std::stod(row["tol"]);
        golden.status = row["status"];
        golden.source = row["source"];
        for (const auto& pair : split(row["args"], ';')) {
            const auto equals = pair.find('=');
            if (equals == std::string::npos) continue;
            const std::string name = pair.substr(0, equals), value = pair.substr(equals + 1);
            char* end = nullptr;
            const double number = std::strtod(value.c_str(), &end);
            if (*end == '\0')
                golden.args[name] = number;
            else
                golden.words[name] = value;
        }
        rows.push_back(golden);
    }
    if (rows.empty()) throw std::runtime_error("tests/golden/" + name + " holds no rows");
    return rows;
}

std::string project_file(const std::string& path) {
    std::ifstream in(std::filesystem::path(LOTWORT_SOURCE_DIR) / path, std::ios::binary);
    if (!in) throw std::runtime_error("cannot read " + path);
    return {std::istreambuf_iterator<char>(in), {}};
}

} // namespace lotwort::test
