// Tables as other programs write them: RFC 4180's own examples, and what is made of them elsewhere.
#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/csv.hpp>

using namespace lotwort;
using Cells = std::vector<std::string>;

namespace {

std::string refusal(std::string_view text) {
    try {
        (void)read_csv(text, "n.csv");
    } catch (const Error& error) {
        return error.what();
    }
    return "nothing";
}

} // namespace

TEST_CASE("RFC 4180, section 2: the examples of its rules") {
    const auto table = read_csv("field_name,field_name2,field_name3\r\naaa,bbb,ccc\r\nzzz,yyy,xxx", "n.csv");
    CHECK(table.header == Cells{"field_name", "field_name2", "field_name3"});
    REQUIRE(table.rows.size() == 2); // the last line may end or not
    CHECK(table.rows[1].cells == Cells{"zzz", "yyy", "xxx"});
    CHECK(read_csv("a,b,c\r\n\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n", "n.csv").rows[0].cells ==
          Cells{"aaa", "b\r\nbb", "ccc"});
    CHECK(read_csv("a,b,c\r\n\"aaa\",\"b\"\"bb\",\"ccc\"\r\n", "n.csv").rows[0].cells == Cells{"aaa", "b\"bb", "ccc"});
}

TEST_CASE("semicolons and tabs part cells where the header has most of them") {
    CHECK(read_csv("a;b;c,d\n1,5;2;3\n", "n.csv").rows[0].cells == Cells{"1,5", "2", "3"});
    CHECK(read_csv("a\tb\n1\t2\n", "n.csv").separator == '\t');
    CHECK(read_csv("\xEF\xBB\xBF"
                   "a;b\n1;2\n",
                   "n.csv")
              .header == Cells{"a", "b"});
}

TEST_CASE("rows keep the line they begin on, and empty lines are no rows") {
    const auto table = read_csv("a,b\n\n\"x\ny\",1\n,\nz,2\n", "n.csv");
    REQUIRE(table.rows.size() == 2);
    CHECK(table.rows[0].line == 3);
    CHECK(table.rows[1].line == 6);
}

TEST_CASE("a table that cannot be read is refused, with the line") {
    CHECK(refusal("a,b\n1,2,3\n") == "n.csv: line 2: 3 cells under 2 headings");
    CHECK(refusal("a,b\n\"1,2\n") == "n.csv: line 2: a quote that is never closed");
    CHECK(refusal("a,b\n\"1\"x,2\n") == "n.csv: line 2: text behind a closing quote");
    CHECK(refusal("a,a\n") == "n.csv: line 1: two columns are headed `a`");
    CHECK(refusal("a,\n") == "n.csv: line 1: column 2 has no heading");
    CHECK(refusal("a\n\xFF\n") == "n.csv is not in UTF-8");
}
