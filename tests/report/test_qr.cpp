// A code is held to what the standard says of every one: three finders, their timing lines, its size.
#include "markup.hpp"
#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/report/qr.hpp>
#include <sstream>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// The modules of a terminal's code, row by row: '#' dark.
std::vector<std::string> modules(const std::string& shown) {
    std::vector<std::string> rows;
    std::istringstream in(shown);
    for (std::string line; std::getline(in, line);) {
        std::string upper, lower;
        line = line.substr(line.find('m') + 1);
        for (std::size_t i = 0; i < line.size() && line[i] != '\033';) {
            const bool is_blank = line[i] == ' ';
            const std::string mark = line.substr(i, is_blank ? 1 : 3);
            upper += mark == "█" || mark == "▀" ? '#' : ' ';
            lower += mark == "█" || mark == "▄" ? '#' : ' ';
            i += mark.size();
        }
        rows.push_back(upper);
        rows.push_back(lower);
    }
    return rows;
}

bool has_finder(const std::vector<std::string>& rows, std::size_t x, std::size_t y) {
    const char* finder[] = {"#######", "#     #", "# ### #", "# ### #", "# ### #", "#     #", "#######"};
    for (std::size_t i = 0; i < 7; ++i)
        if (rows[y + i].substr(x, 7) != finder[i]) return false;
    return true;
}

} // namespace

TEST_CASE("a code has its finders in three corners, its timing between them, and four light modules around") {
    const auto rows = modules(report::qr_terminal("http://192.0.2.7:8017/enter?key=0123456789abcdef"));
    const std::size_t side = rows.front().size(), far = side - 4 - 7;
    CHECK((side - 8 - 17) % 4 == 0); // ISO/IEC 18004, 5.3.1: 17 + 4 V modules
    CHECK(has_finder(rows, 4, 4));
    CHECK(has_finder(rows, far, 4));
    CHECK(has_finder(rows, 4, far));
    CHECK(!has_finder(rows, far, far));
    for (std::size_t i = 12; i + 12 < side; ++i) CHECK(rows[10][i] == (i % 2 == 0 ? '#' : ' '));
    for (std::size_t i = 0; i < side; ++i) CHECK(rows[3][i] == ' ');
}

TEST_CASE("the drawing says the same as the terminal, and what it is") {
    const std::string text = "lotwort PAM-1 ä";
    const auto parsed = parse_markup(report::qr_svg(text, "the label of \"PAM-1\""));
    REQUIRE(parsed.root);
    CHECK(parsed.root->attributes.at("aria-label") == "the label of \"PAM-1\"");
    const auto rows = modules(report::qr_terminal(text));
    std::vector<std::string> drawn(rows.front().size(), std::string(rows.front().size(), ' '));
    std::istringstream path(parsed.root->all("path").front()->attributes.at("d"));
    std::size_t x = 0, y = 0, width = 0;
    for (std::string rest;
         path.ignore(1) && path >> x >> y && path.ignore(1) && path >> width && getline(path, rest, 'z');)
        drawn.at(y).replace(x, width, width, '#');
    for (std::size_t i = 0; i < drawn.size(); ++i) CHECK(drawn[i] == rows[i]);
}

TEST_CASE("what no code can hold is refused") {
    CHECK_THROWS_AS((void)report::qr_svg(std::string(2332, 'a'), ""), Error);
    CHECK_NOTHROW((void)report::qr_svg(std::string(2331, 'a'), ""));
}
