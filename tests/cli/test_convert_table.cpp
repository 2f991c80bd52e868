// A table's cells are the conversions one would have typed one by one.
#include "brewery.hpp"
#include "near.hpp"
#include <algorithm>
#include <sstream>

using namespace lotwort::test;

namespace {

double value(const std::string& line) {
    return Brewery().json("convert " + line)["value"].get<double>();
}

Json table(const std::string& line) {
    return Brewery().json("convert " + line + " --table")["rows"];
}

std::size_t longest_line(const std::string& text) {
    std::istringstream in(text);
    std::size_t longest = 0;
    for (std::string line; std::getline(in, line);) longest = std::max(longest, line.size());
    return longest;
}

} // namespace

TEST_CASE("a range of gravities: each row is its own conversion, both ends among them") {
    const Json rows = table("1.030..1.060/0.005 --to plato");
    REQUIRE(rows.size() == 7);
    CHECK(rows.front()["given"] == "1.030");
    CHECK(rows.back()["given"] == "1.060");
    for (const auto& row : rows) CHECK(row["value"] == value(row["given"].get<std::string>() + " --to plato"));
    CHECK(table("5P..15P --to sg").size() == 11); // steps of a size one would choose
    CHECK(table("5P..6P/0.25 --to sg")[1]["given"] == "5.25P");
}

TEST_CASE("a hydrometer's own correction table: NBS C440 adds 0.63 % at 30 °C to 10 % on a 20 °C stem") {
    const Json rows = table("5P..15P/5 --read-at 10C..40C/10 --stem 20C --to plato");
    REQUIRE(rows.size() == 12);
    const auto cell = std::find_if(rows.begin(), rows.end(),
                                   [](const Json& row) { return row["given"] == "10P" && row["column"] == "30C"; });
    REQUIRE(cell != rows.end());
    CHECK((*cell)["value"].get<double>() == near(10.63, 0.035 / 10.63));
}

TEST_CASE("a dip table by the centimetre, the uncertainty in each row, and the width of a page") {
    const Json rows = table("0cm..40cm/1 --dip 0cm=0L,10cm=5.2L,40cm=24L --to l");
    REQUIRE(rows.size() == 41);
    CHECK(rows[10]["value"].get<double>() == near(5.2));
    for (const auto& row : table("1.040..1.050±0.001 --to plato")) CHECK(row["sd"].get<double>() > 0.2);
    const std::string wide =
        Brewery().done("convert 1.030..1.090/0.010 --read-at 5C..60C/2.5 --stem 60F --to sg --table");
    CHECK(longest_line(wide) <= 80);
    CHECK(wide.find("60.0C") != std::string::npos);
    const std::string csv = Brewery().done("convert 1.030..1.040/0.010 --read-at 10C..20C/10 --to sg --table --csv");
    CHECK(csv.starts_with("given,read-at,value,sd,unit\r\n1.030,10C,"));
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 5);
}

TEST_CASE("a range of an option alone runs down the page") {
    const Json rows = table("1.050 --read-at 10C..40C/10 --to correction");
    REQUIRE(rows.size() == 4);
    CHECK(rows[1]["value"].get<double>() == near(0.0, 0.0, 1e-9)); // at the stem's own 20 °C
    const std::string text = Brewery().done("convert 1.050 --read-at 10C..40C/10 --to correction --table");
    CHECK(text.find("--read-at") == 0);
}
