#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/csv.hpp>
#include <lotwort/report/table.hpp>
#include <random>

using namespace lotwort::report;

TEST_CASE("names stand left and numbers right, and no line ends in spaces") {
    const Table table{{{"ITEM"}, {"ON HAND", Align::right}, {"NOTE"}},
                      {{"pale ale malt", "25 kg", "in the loft"}, {"salt", "3.5 kg", ""}}};
    CHECK(table_text(table) == "ITEM           ON HAND  NOTE\n"
                               "pale ale malt    25 kg  in the loft\n"
                               "salt            3.5 kg\n");
}

TEST_CASE("a table too wide for the line shortens what may be shortened, and says so with an ellipsis") {
    const Table table{{{"ITEM", Align::left, true}, {"ON HAND", Align::right}},
                      {{"a malt with a very long name indeed", "25 kg"}, {"salt", "3.5 kg"}}};
    CHECK(table_text(table, 24) == "ITEM             ON HAND\n"
                                   "a malt with a…     25 kg\n"
                                   "salt              3.5 kg\n");
}

TEST_CASE("numbers are never cut: a table that cannot shrink is wider than the line") {
    const Table table{{{"A", Align::right}, {"B", Align::right}}, {{"123456789", "123456789"}}};
    CHECK(table_text(table, 10) == "        A          B\n123456789  123456789\n");
}

TEST_CASE("widths are of characters, not of bytes") {
    CHECK(display_width("Kölsch") == 6);
    CHECK(display_width("Ko\xCC\x88lsch") == 6); // o and a combining diaeresis
    CHECK(display_width("81.2 ± 1.6 %") == 12);
    const Table table{{{"ITEM"}, {"N", Align::right}}, {{"Kölsch malt", "1"}, {"plain malt.", "2"}}};
    CHECK(table_text(table) == "ITEM         N\nKölsch malt  1\nplain malt.  2\n");
}

TEST_CASE("a row longer than the headings is a fault of ours") {
    CHECK_THROWS_AS((void)table_text({{{"ITEM"}}, {{"malt", "25 kg"}}}), lotwort::Bug);
}

TEST_CASE("no row of any table is wider than the line while a column may still shrink") {
    std::mt19937 random(7);
    for (int i = 0; i < 500; ++i) {
        Table table{{{"NAME", Align::left, true}, {"WHY", Align::left, true}, {"N", Align::right}}, {}};
        for (int row = 0; row < 4; ++row) {
            const std::string name(random() % 60, 'n');
            const std::string why(random() % 60, 'w');
            table.rows.push_back({name, why, std::to_string(random() % 100000)});
        }
        const std::string text = table_text(table);
        for (std::size_t at = 0; at < text.size();) {
            const auto end = text.find('\n', at);
            CHECK(display_width(text.substr(at, end - at)) <= usual_line);
            at = end + 1;
        }
    }
}

// A reader of RFC 4180 written from the RFC's grammar.
namespace {
std::vector<std::string> read_csv_row(const std::string& text) {
    std::vector<std::string> cells{""};
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (quoted && c == '"' && i + 1 < text.size() && text[i + 1] == '"')
            cells.back() += text[++i];
        else if (c == '"')
            quoted = !quoted;
        else if (!quoted && c == ',')
            cells.emplace_back();
        else if (!quoted && c == '\r' && text.substr(i) == "\r\n")
            return cells;
        else
            cells.back() += c;
    }
    return {"a row without its end"};
}
} // namespace

TEST_CASE("CSV cells are quoted where they must be, and read back as they were") {
    CHECK(csv_row({"plain", "with, comma", "with \"quotes\"", ""}) ==
          "plain,\"with, comma\",\"with \"\"quotes\"\"\",\r\n");
    std::mt19937 random(11);
    const std::string alphabet = "ab,\"\n '";
    for (int i = 0; i < 2000; ++i) {
        std::vector<std::string> cells(1 + random() % 4);
        for (auto& cell : cells)
            for (auto length = random() % 6; length > 0; --length) cell += alphabet[random() % alphabet.size()];
        CHECK(read_csv_row(csv_row(cells)) == cells);
    }
}

TEST_CASE("a cell that a spreadsheet would reckon with is kept as text, and a number stays one") {
    CHECK(csv_cell("=1+1") == "'=1+1");
    CHECK(csv_cell("+5 kg") == "'+5 kg");
    CHECK(csv_cell("-1+2") == "'-1+2");
    CHECK(csv_cell("-inf") == "'-inf");
    CHECK(csv_cell("@SUM(A1)") == "'@SUM(A1)");
    CHECK(csv_cell("=1,2") == "\"'=1,2\"");
    CHECK(csv_cell("'=1") == "''=1"); // else it would come back as =1
    for (const char* number : {"-0.5", "12", "-1e-05", "0"}) CHECK(csv_cell(number) == number);
    for (const char* text : {"a=1", "'tis", "5-10", "PAM-1", "2026-03-01"}) CHECK(csv_cell(text) == text);
}

TEST_CASE("our own reader takes any cell back as it was") {
    std::mt19937 random(12);
    const std::vector<std::string> pieces{"=", "+", "-", "@", "'", "\"", ",", "\n", " ", "1", "e", "malt", "é", "🌾"};
    for (int i = 0; i < 5000; ++i) {
        std::vector<std::string> cells{"x"}; // a row of nothing is none
        for (int n = 0; n < 3; ++n) {
            auto& cell = cells.emplace_back();
            for (auto length = random() % 6; length > 0; --length) cell += pieces[random() % pieces.size()];
        }
        const std::string text = csv_row({"a", "b", "c", "d"}) + csv_row(cells);
        CAPTURE(text);
        REQUIRE(lotwort::read_csv(text, "f").rows.size() == 1);
        CHECK(lotwort::read_csv(text, "f").rows[0].cells == cells);
    }
}

TEST_CASE("what is hidden is written out in tables and in CSV") {
    CHECK(table_text({{{"LOT"}, {"ITEM"}}, {{"a\u202eb", "one\ntwo"}}}) == "LOT         ITEM\n"
                                                                           "a\\u{202E}b  one\\u{000A}two\n");
    CHECK(csv_cell("a\u202eb\x1b[31m") == "a\\u{202E}b\\u{001B}[31m");
    CHECK(csv_cell("a\rb") == "a\\u{000D}b");
    CHECK(csv_cell("caf\xe9") == "caf\\xE9");
}
