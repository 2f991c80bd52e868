// Writes the sources that have mutants, with them behind the switch: write_switched SOURCES OUT. Files that would be
// the same are left alone, so that they are not compiled again. Prints a line a mutant, its parts parted by tabs.
#include "mutants/rows.hpp"
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <map>
#include <stdexcept>

namespace fs = std::filesystem;
using namespace lotwort::mutants;

namespace {

std::string read(const fs::path& path) {
    std::ifstream in(path);
    return {std::istreambuf_iterator<char>(in), {}};
}

void write(const fs::path& path, const std::string& text) {
    if (!fs::exists(path) || read(path) != text) {
        fs::create_directories(path.parent_path());
        std::ofstream(path) << text;
    }
}

// Whether all of its rows apply.
bool write_room(const fs::path& sources, const fs::path& out, const std::string& room) {
    std::map<std::string, std::vector<Row>> by_file;
    for (const Row& row : read_rows(room, read(sources / "tests/mutants" / (room + ".txt")))) {
        by_file[row.file].push_back(row);
    }
    bool fine = true;
    for (const auto& [file, rows] : by_file) {
        const std::string source = read(sources / "src" / file);
        bool apply = true;
        for (const Row& row : rows) try {
                (void)find(row, source);
            } catch (const std::runtime_error& stale) {
                std::cerr << stale.what() << '\n';
                apply = fine = false;
            }
        if (!apply) continue;
        write(out / "src" / file, switched(source, (sources / "src" / file).string(), rows));
        for (const Row& row : rows) {
            const auto from = source.begin();
            const auto line = 1 + std::count(from, from + static_cast<std::ptrdiff_t>(find(row, source).from), '\n');
            std::cout << room << '\t' << row.number << '\t' << file << '\t' << line << '\t' << row.was << '\t'
                      << row.now << '\t' << row.why << '\t' << (row.dies.empty() ? "-" : row.dies) << '\t'
                      << (row.equal.empty() ? "-" : row.equal) << '\n';
        }
    }
    return fine;
}

} // namespace

int main(int argc, char** argv) {
    if (argc != 3) {
        std::cerr << "usage: write_switched SOURCES OUT\n";
        return 2;
    }
    bool fine = true;
    try {
        for (const auto& entry : fs::directory_iterator(fs::path(argv[1]) / "tests/mutants")) {
            if (entry.path().extension() == ".txt" && entry.path().stem() != "CMakeLists") {
                fine = write_room(argv[1], argv[2], entry.path().stem()) && fine;
            }
        }
    } catch (const std::exception& fault) {
        std::cerr << fault.what() << '\n';
        return 1;
    }
    return fine ? 0 : 1;
}
