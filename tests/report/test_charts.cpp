// What a chart draws: days to scale, arrows where a bar goes on beyond it, levels that do not jump with the recipe, and
// what a pointer rests on.
#include "markup.hpp"
#include "near.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/report/pages.hpp>
#include <sstream>

using namespace lotwort;
using namespace lotwort::report;
using namespace lotwort::test;

namespace {

Date day(const char* text) {
    return *parse_iso_date(text);
}

Node read(const std::string& page) {
    Parsed parsed = parse_markup(page);
    REQUIRE_MESSAGE(parsed.root, parsed.fault);
    return *parsed.root;
}

const Node& figure_called(const Node& page, const std::string& title) {
    for (const Node* figure : page.all("figure"))
        if (figure->all("figcaption").front()->text == title) return *figure;
    FAIL(title);
    return page;
}

std::string class_of(const Node& node) {
    const auto found = node.attributes.find("class");
    return found == node.attributes.end() ? "" : found->second;
}

// The points of the one line of that look.
std::vector<std::pair<double, double>> line_of(const Node& figure, const std::string& look) {
    std::vector<std::pair<double, double>> points;
    for (const Node* line : figure.all("polyline")) {
        if (class_of(*line) != look) continue;
        std::istringstream in(line->attributes.at("points"));
        double x = 0.0, y = 0.0;
        for (char comma = 0; in >> x >> comma >> y;) points.emplace_back(x, y);
    }
    return points;
}

BrewLevel level(const char* brew, const char* on, double share) {
    BrewLevel l;
    l.brew = brew;
    l.brewhouse = "garage";
    l.date = day(on);
    l.conversion = l.this_conversion = normal_estimate(0.9, 0.01);
    l.lauter = l.this_lauter = normal_estimate(1.0, 0.01);
    l.brewhouse_level = normal_estimate(0.9 * share, 0.9 * share * 0.01);
    return l;
}

std::vector<std::string> hovers(const Node& figure) {
    std::vector<std::string> words;
    for (const Node* group : figure.all("g")) words.push_back(group->all("title").front()->text);
    return words;
}

} // namespace

// A day, then nine more: the second brew stands at a tenth of the way.
TEST_CASE("levels are drawn by date to scale, and a brew says what it is where a pointer rests") {
    Trend trend;
    trend.learned.levels = {level("B1", "2026-01-01", 0.8), level("B2", "2026-01-02", 0.8),
                            level("B3", "2026-01-11", 0.8)};
    trend.left_out = {{"B9", day("2026-01-06"), "its readings contradict each other"}};
    const Node page = read(brewhouse_page(trend, day("2026-03-10")));
    const Node& figure = figure_called(page, "Conversion");
    const auto points = line_of(figure, "line");
    REQUIRE(points.size() == 3);
    CHECK((points[1].first - points[0].first) / (points[2].first - points[0].first) == near(0.1, 0.0, 0.002));
    const auto said = hovers(figure);
    CHECK(std::ranges::find(said, "B2 of 2026-01-02: 90.0 % (88.4 to 91.6); this brew 90.0 %") != said.end());
    // the brew that the level is told without is there, halfway along
    CHECK(std::ranges::find(said, "B9 of 2026-01-06 is left out: its readings contradict each other") != said.end());
    const auto circles = figure.all("circle");
    const auto ring = std::ranges::find(circles, "out", [](const Node* c) { return class_of(*c); });
    REQUIRE(ring != circles.end());
    const double along =
        (std::stod((*ring)->attributes.at("cx")) - points[0].first) / (points[2].first - points[0].first);
    CHECK(along == near(0.5, 0.0, 0.002));
}

// Every second brew is a strong one, of which washing wins less: 0.9 x 0.8 = 72 % and 0.9 x 0.7 = 63 %, the house the
// same. Of five brews the one in the middle is of the lighter recipe.
TEST_CASE("the brewhouse's level does not jump with the recipe, and says so") {
    Trend trend;
    trend.learned.levels = {level("B1", "2026-01-01", 0.8), level("B2", "2026-01-02", 0.7),
                            level("B3", "2026-01-03", 0.8), level("B4", "2026-01-04", 0.7),
                            level("B5", "2026-01-05", 0.8)};
    const Node page = read(brewhouse_page(trend, day("2026-03-10")));
    const Node& figure = figure_called(page, "The brewhouse");
    const auto points = line_of(figure, "line");
    REQUIRE(points.size() == 5);
    for (const auto& point : points) CHECK(point.second == near(points.front().second, 0.0, 0.11));
    CHECK(figure.all("p").front()->text.find("for a recipe of the usual strength") != std::string::npos);
    const auto said = hovers(figure);
    CHECK(std::ranges::find(said, "B2 of 2026-01-02: 72.0 % (70.8 to 73.2); by its recipe 63.0 %") != said.end());
    // the newest stands first
    CHECK(figure.all("tbody").front()->all("th").front()->text == "B5");
}

TEST_CASE("a bar that goes on beyond the picture ends in an arrow, and no other does") {
    StockPage page;
    page.items.today = page.lots.today = day("2026-03-10");
    StockLine line;
    line.on_hand = line.free = Amount::of(Kilograms(20.0));
    line.promised = Amount::of(Kilograms(0.0));
    for (const auto& [item, until] : {std::pair("pale malt", "2026-04-19"), std::pair("wheat malt", "2029-01-01")}) {
        line.item = item;
        page.items.lines.push_back(line);
        page.covers.push_back({{item, ItemKind::malt, line.free, std::nullopt}, 500'000.0, day(until)});
    }
    page.items.lines[1].free = Amount::of(Kilograms(3.25));
    page.on_order = {{"pale malt", "O1", "first & co", Amount::of(Kilograms(25.0)), day("2026-03-09")}};
    const Node shown = read(stock_page(page));
    const auto groups = shown.all("figure").front()->all("g");
    REQUIRE(groups.size() == 2);
    CHECK(groups[0]->all("polygon").empty());
    CHECK(groups[0]->all("circle").size() == 1);
    REQUIRE(groups[1]->all("polygon").size() == 1);
    CHECK(class_of(*groups[1]->all("polygon").front()) == "arrow");
    CHECK(groups[1]->all("circle").empty());
    // the figures of a column have the same decimals: 20.00 beside 3.25
    std::vector<std::string> cells;
    for (const Node* cell : shown.all("td")) cells.push_back(cell->text);
    CHECK(std::ranges::find(cells, "20.00 kg") != cells.end());
    CHECK(std::ranges::find(cells, "3.25 kg") != cells.end());
    // what is on order, and was due yesterday
    for (const char* words : {"25 kg", "2026-03-09", "first & co", "O1", "late"})
        CHECK_MESSAGE(std::ranges::find(cells, words) != cells.end(), words);
}
