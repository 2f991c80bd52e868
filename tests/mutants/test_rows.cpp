// Every row still applies: its text stands once in its file, it says why, and the case that is to notice exists.
// Whether that case does notice is for tests/mutants/run.
#include "golden.hpp"
#include "mutants/rows.hpp"
#include <doctest/doctest.h>
#include <filesystem>
#include <map>
#include <regex>
#include <stdexcept>

using namespace lotwort;
using namespace lotwort::mutants;
namespace fs = std::filesystem;

namespace {

std::vector<std::string> rooms() {
    std::vector<std::string> found;
    for (const auto& entry : fs::directory_iterator(fs::path(LOTWORT_SOURCE_DIR) / "tests/mutants")) {
        if (entry.path().extension() == ".txt" && entry.path().stem() != "CMakeLists") {
            found.push_back(entry.path().stem());
        }
    }
    return found;
}

std::vector<Row> rows_of(const std::string& room) {
    return read_rows(room, test::project_file("tests/mutants/" + room + ".txt"));
}

std::string tests_of(const std::string& room) {
    std::string all;
    for (const auto& entry : fs::recursive_directory_iterator(fs::path(LOTWORT_SOURCE_DIR) / "tests" / room)) {
        if (entry.path().extension() == ".cpp") {
            all += test::project_file(fs::relative(entry.path(), LOTWORT_SOURCE_DIR).string());
        }
    }
    return std::regex_replace(all, std::regex("\"\\s*\n\\s*\""), ""); // a long name stands on two lines
}

const Row kept_cold{.room = "stock", .number = 7, .file = "stock/a.cpp", .was = "a < b", .now = "a <= b"};

} // namespace

TEST_CASE("each mutant still stands in its source, once, and says what it means") {
    for (const std::string& room : rooms()) {
        std::map<std::string, std::vector<Row>> by_file;
        for (const Row& row : rows_of(room)) {
            INFO(room, " ", row.number, " ", row.was);
            CHECK_FALSE(row.now.empty());
            CHECK_FALSE(row.why.empty());
            CHECK_MESSAGE((row.dies.empty() || row.equal.empty()),
                          "the test that notices, or why none can; none: alive");
            CHECK(row.file.starts_with(room + "/"));
            by_file[row.file].push_back(row);
        }
        for (const auto& [file, rows] : by_file) {
            CHECK_NOTHROW((void)switched(test::project_file("src/" + file), file, rows));
        }
    }
}

TEST_CASE("the case that notices a mutant is one of its room") {
    for (const std::string& room : rooms()) {
        const std::string tests = tests_of(room);
        for (const Row& row : rows_of(room)) {
            CHECK_MESSAGE((row.dies.empty() || tests.find('"' + row.dies + "\")") != std::string::npos), room, " ",
                          row.number, ": no case <", row.dies, ">");
        }
    }
}

TEST_CASE("a row whose text is gone, or stands twice, is stale") {
    CHECK_THROWS_AS((void)find(kept_cold, "if (a > b)"), std::runtime_error);
    CHECK_THROWS_AS((void)find(kept_cold, "if (a < b && a < b)"), std::runtime_error);
    CHECK_THROWS_AS((void)find(kept_cold, "if (aa < b || a < bb)"), std::runtime_error);
    CHECK(find(kept_cold, "if (a <\n    b)").from == 4);
}

TEST_CASE("a row that is none is refused with its line") {
    CHECK_THROWS_WITH((void)read_rows("stock", "in stock/a.cpp\n\nwas a\nnew b\n"),
                      "stock.txt, line 4: in, was, now, why, dies or equal");
}

TEST_CASE("mutants of one text, of a text in another and of a statement stand side by side") {
    const std::string head = "bool lotwort_mutant(int number);\n#line 1 \"stock/a.cpp\"\n";
    Row sooner = kept_cold;
    sooner.number = 8;
    sooner.now = "a == b";
    CHECK(switched("if (a < b) {}", "stock/a.cpp", {kept_cold, sooner}) ==
          head + "if ((lotwort_mutant(7) ? (a <= b) : lotwort_mutant(8) ? (a == b) : (a < b))) {}");
    Row whole = kept_cold;
    whole.number = 9;
    whole.was = "c = a < b;";
    whole.now = "c = true;";
    CHECK(switched("c = a < b;", "stock/a.cpp", {kept_cold, whole}) ==
          head + "if (lotwort_mutant(9)) { c = true; } else { c = (lotwort_mutant(7) ? (a <= b) : (a < b)); }");
    whole.was = "b; c";
    CHECK_THROWS_AS((void)switched("a < b; c", "stock/a.cpp", {kept_cold, whole}), std::runtime_error);
}
