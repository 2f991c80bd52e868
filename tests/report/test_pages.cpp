// Pages by their structure: an XML reader takes them, nothing is fetched, every chart says what it shows and has its
// table, and what a page says is what its figures say.
#include "markup.hpp"
#include "near.hpp"
#include <algorithm>
#include <cstdio>
#include <doctest/doctest.h>
#include <lotwort/report/pages.hpp>
#include <lotwort/report/units.hpp>
#include <map>
#include <set>

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

bool has_text(const Node& node, const std::string& wanted) {
    if (node.text.find(wanted) != std::string::npos) return true;
    return std::ranges::any_of(node.children, [&](const Node& child) { return has_text(child, wanted); });
}

// What holds of every page.
void check_page(const Node& page) {
    CHECK(page.name == "html");
    CHECK(page.attributes.at("lang") == "en");
    for (const char* absent : {"script", "img", "link", "iframe", "object"}) CHECK(page.all(absent).empty());
    CHECK(page.all("h1").size() == 1);
    std::set<std::string> ids;
    const auto check_id = [&](const Node& node) { CHECK(ids.insert(node.attributes.at("id")).second); };
    for (const Node* style : page.all("style")) {
        CHECK(style->text.find("url(") == std::string::npos);
        CHECK(style->text.find("@import") == std::string::npos);
        CHECK(style->text.find("prefers-color-scheme:dark") != std::string::npos);
        CHECK(style->text.find("@media print") != std::string::npos);
    }
    const auto figures = page.all("figure");
    CHECK(figures.size() == page.all("svg").size());
    for (const Node* figure : figures) {
        const auto drawings = figure->all("svg");
        REQUIRE(drawings.size() == 1);
        const Node& svg = *drawings.front();
        CHECK(svg.attributes.at("role") == "img");
        std::vector<const Node*> titles;
        for (const Node& child : svg.children)
            if (child.name == "title") titles.push_back(&child);
        REQUIRE(titles.size() == 1);
        REQUIRE(svg.all("desc").size() == 1);
        // and what a pointer rests on says what it is: a title in a group, and nowhere else
        CHECK(svg.all("title").size() == 1 + svg.all("g").size());
        for (const Node* group : svg.all("g")) CHECK(group->all("title").front()->text.size() > 4);
        CHECK_FALSE(svg.all("g").empty());
        CHECK(svg.all("desc").front()->text.size() > 40);
        check_id(*titles.front());
        check_id(*svg.all("desc").front());
        CHECK(svg.attributes.at("aria-labelledby") ==
              titles.front()->attributes.at("id") + " " + svg.all("desc").front()->attributes.at("id"));
        CHECK(figure->all("figcaption").size() == 1);
        REQUIRE(figure->all("table").size() == 1);
        const Node& table = *figure->all("table").front();
        CHECK(table.all("caption").size() == 1);
        CHECK_FALSE(table.all("tbody").front()->all("tr").empty());
    }
}

Estimated about(double value, double sd) {
    return {normal_estimate(value, sd), ""};
}

BrewPage brewed() {
    BrewPage page;
    page.shown.brew.code = "B1";
    page.shown.brew.recipe = "pale & <strong>";
    page.shown.brew.brewhouse = "garage";
    page.shown.brew.date = day("2026-03-10");
    auto& result = page.reconciled.result;
    result.brew = "B1";
    result.efficiencies = {about(0.9, 0.02),
                           about(0.92, 0.02),
                           about(0.83, 0.02),
                           about(0.95, 0.01),
                           {std::nullopt, "no volume in the fermenter"}};
    result.quantities = {{"extract_grist_kg", about(4.0, 0.04)},
                         {"extract_mash_kg", about(3.6, 0.05)},
                         {"extract_kettle_kg", about(3.2, 0.05)},
                         {"extract_cast_out_kg", about(3.3, 0.05)},
                         {"extract_fermenter_kg", about(3.0, 0.05)}};
    result.readings = {{"r1", "kettle-full", "gravity", "sg", 1.04, 1.041, 0.001, -1.25, false},
                       {"r2", "fermenter", "volume", "l", 23.0, 23.0, 0.4, std::nullopt, false}};
    result.test.p_value = 0.4;
    return page;
}

} // namespace

TEST_CASE("a brew's page: efficiencies, the flow of extract, residuals") {
    const std::string text = brew_page(brewed());
    const Node page = read(text);
    check_page(page);
    CHECK(page.all("figure").size() == 3);
    CHECK(page.all("h1").front()->text == "B1: pale & <strong>");
    CHECK(has_text(page, "no volume in the fermenter"));
    // 4.0 kg in the grist, 3.6 dissolved: 0.40 kg, 10 % of it, are not; the kettle was given 0.1 kg of sugar, 2.5 %
    CHECK(has_text(page, "not dissolved"));
    CHECK(has_text(page, "0.40 kg (10.0 %)"));
    CHECK(has_text(page, "sugar added"));
    CHECK(has_text(page, "0.10 kg (2.5 %)"));
    CHECK(has_text(page, "0.30 kg (7.5 %)")); // left with trub and hops
    // a reading that nothing else speaks of has no residual and no row in the chart, but stands in the table
    const Node* residuals = page.all("figure").at(1);
    CHECK(residuals->all("svg").front()->all("circle").size() == 1);
    CHECK(residuals->all("tbody").front()->all("tr").size() == 2);
}

// From 1.048 to 1.012 in 4 days: the reading of the first, 1.030, lies a quarter of the way along and halfway down.
TEST_CASE("a brew's page draws its fermentation along its days, each reading a cross") {
    BrewPage page = brewed();
    Fermentation fermentation;
    fermentation.says = "75 % attenuated so far";
    for (const auto& [on, sg] :
         {std::pair("2026-03-10", 1.048), std::pair("2026-03-11", 1.030), std::pair("2026-03-14", 1.012)})
        fermentation.days.push_back({"", day(on), sg, 100.0 * (1.048 - sg) / 0.048, std::nullopt, std::nullopt});
    page.shown.fermentation = fermentation;
    const Node shown = read(brew_page(page));
    check_page(shown);
    REQUIRE(shown.all("figure").size() == 4);
    const Node* drawn = nullptr;
    for (const Node* figure : shown.all("figure"))
        if (figure->all("figcaption").front()->text.find("Fermentation") != std::string::npos) drawn = figure;
    REQUIRE(drawn != nullptr);
    CHECK(drawn->all("tbody").front()->all("tr").size() == 3);
    std::vector<std::pair<double, double>> crosses; // their upper left ends
    for (const Node* path : drawn->all("path"))
        if (path->attributes.at("class").starts_with("single")) {
            double x = 0.0, y = 0.0;
            REQUIRE(std::sscanf(path->attributes.at("d").c_str(), "M%lf %lf", &x, &y) == 2);
            crosses.emplace_back(x, y);
        }
    REQUIRE(crosses.size() == 3);
    CHECK((crosses[1].first - crosses[0].first) / (crosses[2].first - crosses[0].first) == near(1.0 / 4.0, 0.03));
    CHECK((crosses[1].second - crosses[0].second) / (crosses[2].second - crosses[0].second) == near(0.5, 0.03));
    CHECK(has_text(shown, "The gravity fell from 1.0480 to 1.0120 in 4 days."));
    CHECK(has_text(shown, "75 % attenuated so far"));
    // one reading alone is a row, and no curve
    page.shown.fermentation->days.resize(1);
    CHECK(read(brew_page(page)).all("figure").size() == 3);
}

TEST_CASE("a brew that could not be balanced, or was given up, still has its page") {
    BrewPage page = brewed();
    page.reconciled.fault = "the depth lies outside the dip table";
    Node shown = read(brew_page(page));
    check_page(shown);
    CHECK(shown.all("figure").empty());
    CHECK(has_text(shown, "the depth lies outside the dip table"));
    page = brewed();
    page.shown.brew.abandoned = "the pump broke";
    shown = read(brew_page(page));
    CHECK(shown.all("figure").empty());
    CHECK(has_text(shown, "the pump broke"));
}

TEST_CASE("the extract's flow is left out where a step of it is not known") {
    BrewPage page = brewed();
    page.reconciled.result.quantities[2].second = {std::nullopt, "nothing was read"};
    CHECK(read(brew_page(page)).all("figure").size() == 2);
}

namespace {

Trend trended(std::size_t brews) {
    Trend trend;
    trend.brewhouse = "garage";
    for (std::size_t i = 0; i < brews; ++i) {
        BrewLevel level;
        level.brew = "B" + std::to_string(i + 1);
        level.date = day("2026-01-01") + std::chrono::days(i);
        level.conversion = normal_estimate(i < brews / 2 ? 0.93 : 0.89, 0.01);
        level.lauter = normal_estimate(1.0, 0.01);
        level.brewhouse_level = normal_estimate(0.78, 0.02);
        level.this_conversion = normal_estimate(0.92, 0.02);
        level.this_lauter = normal_estimate(1.0, 0.02);
        trend.learned.levels.push_back(level);
    }
    return trend;
}

} // namespace

TEST_CASE("a brewhouse's page marks drift, with its size in words") {
    Trend trend = trended(40);
    Drift drift;
    drift.quantity = "conversion";
    drift.from_brew = "B21";
    drift.signalled_at = "B25";
    drift.change = -0.043;
    trend.learned.drift.push_back(drift);
    const Node page = read(brewhouse_page(trend, day("2026-03-10")));
    check_page(page);
    REQUIRE(page.all("figure").size() == 3);
    const auto dashed = [](const Node& figure) {
        const auto lines = figure.all("line");
        return std::ranges::count_if(lines, [](const Node* l) { return l->attributes.at("class") == "drift"; });
    };
    CHECK(dashed(*page.all("figure")[0]) == 0);
    CHECK(dashed(*page.all("figure")[1]) == 1);
    CHECK(has_text(*page.all("figure")[1], "1: −4.3 % from B21 on."));
}

TEST_CASE("each brewhouse has a line and a look of its own, and a name beside it") {
    Trend trend = trended(12);
    for (std::size_t i = 0; i < 12; ++i) trend.learned.levels[i].brewhouse = i % 3 == 1 ? "pilot" : "garage";
    trend.learned.lots = {LearnedLot{"PAM-1", "pale ale malt", "B1", 4, normal_estimate(0.0, 0.01)},
                          LearnedLot{"PAM-2", "pale ale malt", "B7", 8, normal_estimate(0.0, 0.01)}};
    const Node page = read(brewhouse_page(trend, day("2026-03-10")));
    check_page(page);
    const Node& conversion = *page.all("figure")[1];
    std::map<std::string, int> brews; // drawn in each line's own look
    for (const Node* line : conversion.all("polyline")) {
        const std::string look = line->attributes.at("class");
        if (look == "line" || look == "line second")
            brews[look] = static_cast<int>(std::ranges::count(line->attributes.at("points"), ','));
    }
    CHECK(brews == std::map<std::string, int>{{"line", 8}, {"line second", 4}});
    CHECK(has_text(conversion, "pilot"));
    CHECK(has_text(conversion, "Short uprights: where a lot was new, the latest PAM-2 at B7."));
    const auto lines = conversion.all("line");
    CHECK(std::ranges::count_if(lines, [](const Node* l) { return l->attributes.at("class") == "lot"; }) == 1);
}

TEST_CASE("a brewhouse's page says of every instrument how it reads, and what would tell") {
    Trend trend = trended(8);
    LearnedInstrument hydrometer;
    hydrometer.name = "typical hydrometer";
    hydrometer.unit = "sg";
    hydrometer.offset = normal_estimate(0.0018, 0.0004);
    hydrometer.stated_sd = 0.001;
    hydrometer.brews = 8;
    hydrometer.probability = 0.97;
    hydrometer.is_told = true;
    trend.learned.instruments.push_back(hydrometer);
    const Node page = read(brewhouse_page(trend, day("2026-03-10")));
    CHECK(has_text(page, "0.0018 high (+0.0011 to +0.0025)"));
    CHECK(has_text(page, "errs"));
    CHECK(has_text(page, "100 g of sugar in 900 g of water, which is 1.0400 at 20 °C"));
}

TEST_CASE("a brewhouse's page says shares in per cent, as its text does") {
    Trend trend = trended(8);
    trend.learned.others = {{"attenuation against the recipes", normal_estimate(-0.0104, 0.0061)}};
    CHECK(has_text(read(brewhouse_page(trend, day("2026-03-10"))), "−1.04 ± 0.61 %"));
}

TEST_CASE("a thousand brews make a page of a bounded size, a single one and none their own") {
    const std::string text = brewhouse_page(trended(1000), day("2030-01-01"));
    check_page(read(text));
    CHECK(text.size() < 260'000);
    check_page(read(brewhouse_page(trended(1), day("2026-03-10"))));
    const Node none = read(brewhouse_page(trended(0), day("2026-03-10")));
    check_page(none);
    CHECK(none.all("figure").empty());
}

TEST_CASE("a lot's stock over time ends at what is on hand") {
    LotPage page;
    page.today = day("2026-03-20");
    auto& lot = page.answer.state.lot;
    lot.code = "PAM-1";
    lot.item = "pale ale malt";
    lot.received = day("2026-03-01");
    lot.received_amount = Amount::of(Kilograms(25.0));
    page.answer.state.on_hand = Amount::of(Kilograms(20.0));
    page.answer.state.promised = Amount::of(Kilograms(0.0));
    Movement in;
    in.on = lot.received;
    in.kind = MovementKind::receipt;
    in.change = lot.received_amount;
    Movement out = in;
    out.on = day("2026-03-10");
    out.kind = MovementKind::brew;
    out.change = Amount::of(Kilograms(-5.0));
    page.answer.movements = {in, out};
    const Node shown = read(lot_page(page));
    check_page(shown);
    REQUIRE(shown.all("figure").size() == 1);
    CHECK(has_text(shown, "2 movements, 20 kg left"));
    CHECK(has_text(shown, "20 kg on hand."));
    page.learned = LearnedLot{"PAM-1", "pale ale malt", "B1", 2, normal_estimate(-0.03, 0.01), 0.5, 0.01, true};
    CHECK(read(lot_page(page)).all("figure").size() == 2);
    CHECK(has_text(read(lot_page(page)),
                   "Its extract, by 2 brews: −3.0 % (−4.6 to −1.4) against its certificate, and odd."));
    page.answer.state.promised = Amount::of(Kilograms(4.0));
    page.answer.state.lot.best_before = day("2026-03-01");
    page.today = day("2026-03-10");
    CHECK(has_text(read(lot_page(page)), "20 kg on hand, 4 kg of it promised, past its best before of 2026-03-01."));
    page.answer.state.lot.held = "damp";
    CHECK(has_text(read(lot_page(page)), "On hold: damp. 20 kg on hand"));
    page.answer.state.on_hand = Amount::of(Kilograms(0.0));
    CHECK(has_text(read(lot_page(page)), "None of it left since 2026-03-10."));
}

TEST_CASE("the stock's page has an item's cover, and one nobody uses only its row") {
    StockPage page;
    page.items.today = page.lots.today = day("2026-03-10");
    page.items.currency = "EUR";
    StockLine line;
    line.item = "pale ale malt";
    line.on_hand = line.free = Amount::of(Kilograms(20.0));
    line.promised = Amount::of(Kilograms(0.0));
    page.items.lines.push_back(line);
    line.item = "salt";
    page.items.lines.push_back(line);
    page.covers = {{{"pale ale malt", ItemKind::malt, line.free, std::nullopt}, 500'000.0, day("2026-04-19")},
                   {{"salt", ItemKind::salt, line.free, std::nullopt}, 0.0, std::nullopt}};
    const Node shown = read(stock_page(page));
    check_page(shown);
    REQUIRE(shown.all("figure").size() == 1);
    CHECK(has_text(*shown.all("svg").front(), "20 kg, to 2026-04-19"));
    CHECK(has_text(shown, "3.5 kg")); // half a kilogram a day, in a week
    CHECK_FALSE(has_text(*shown.all("figure").front(), "salt"));
    CHECK(has_text(shown, "Pale ale malt is the first to run out, about 2026-04-19, used as in the last 90 days."));
    page.covers[0].of.free = Amount::of(Kilograms(0.0));
    CHECK(has_text(read(stock_page(page)), "Nothing free of pale ale malt."));
    page.covers.clear();
    CHECK(read(stock_page(page)).all("figure").empty());
}

TEST_CASE("sheets have a box and a blank for each lot") {
    StockRow row;
    row.item = "pale ale malt";
    row.lot = "PAM-1";
    row.on_hand = Amount::of(Kilograms(20.0));
    const Node page = read(count_sheet_page({row, row}, day("2026-03-10")));
    check_page(page);
    const auto spans = page.all("span");
    CHECK(std::ranges::count_if(spans, [](const Node* s) { return s->attributes.at("class") == "box"; }) == 2);
    CHECK(std::ranges::count_if(spans, [](const Node* s) { return s->attributes.at("class") == "blank"; }) ==
          7); // and when
    check_page(read(count_sheet_page({}, day("2026-03-10"))));
}

TEST_CASE("the reader of these tests finds out what is not well formed") {
    CHECK_FALSE(parse_markup("<p>a</b>").root);
    CHECK_FALSE(parse_markup("<p>a & b</p>").root);
    CHECK_FALSE(parse_markup("<p class=x>a</p>").root);
    CHECK_FALSE(parse_markup("<p>a").root);
    CHECK_FALSE(parse_markup("<p/><p/>").root);
    CHECK(parse_markup("<p a=\"1\">x<br/>&amp;</p>").root->text == "x&");
}

namespace {

// Two sacks and a bag of one supplier, hops of another, and a malt that comes a day late.
PurchasePage bought() {
    PurchasePage page;
    page.currency = "EUR";
    page.wish.today = day("2026-03-10");
    const auto offer = [&](const char* supplier, const char* item, double pack_kg) {
        auto& added = page.wish.offers.emplace_back();
        added.supplier = supplier;
        added.item = item;
        added.pack = Kilograms(pack_kg);
        page.drawn.offers.push_back(page.wish.offers.size() - 1);
    };
    offer("first & co", "pale ale malt", 25.0);
    offer("first & co", "caramel malt", 5.0);
    offer("second", "bittering hop", 0.1);
    page.drawn.wanted.needs.emplace_back();
    auto& plan = page.plan;
    plan.found = plan.proven_optimal = plan.looked_twice = true;
    plan.orders = {
        {"first & co", day("2026-03-12"), day("2026-03-16"), {{0, 2, 31.5, 63.0}, {1, 1, 9.0, 9.0}}, 72.0, 12.0},
        {"second", day("2026-03-20"), day("2026-03-24"), {{2, 3, 4.5, 13.5}}, 13.5, 0.0}};
    plan.goods = 85.5;
    plan.deliveries = 12.0;
    plan.left_value = 7.5;
    plan.total_cost = plan.bound = 90.0;
    page.drawn.wanted.until = day("2026-04-10");
    page.drawn.wanted.offers = {{"first & co", "pale ale malt", 25.0, {{1, 31.5}}},
                                {"first & co", "caramel malt", 5.0, {{1, 9.0}}},
                                {"second", "bittering hop", 0.1, {{1, 4.5}}}};
    page.drawn.wanted.suppliers = {{"first & co", 12.0}, {"second", 8.0, 10.0}};
    page.purposes = {{"pale ale malt", 50.0, 41.25, 6.5, 2.25, {"B1", "B2"}}};
    page.fills = {{1, 0, 2, plan::FilledFor::free_delivery, 9.0, 6.0, 4.25}};
    plan.late = {{"wheat malt", "B7", day("2026-03-15"), day("2026-03-16")},
                 {"rye malt", "B8", day("2026-03-15"), std::nullopt},
                 {"smoked malt", "B9", day("2026-03-15"), std::nullopt, 1.0, true}};
    page.drawn.says = {"no lead time is stated for `second`: 4 days"};
    return page;
}

std::vector<std::string> cells(const Node& row) {
    std::vector<std::string> texts;
    for (const auto& cell : row.children)
        if (cell.name == "td" || cell.name == "th") texts.push_back(cell.text);
    return texts;
}

} // namespace

TEST_CASE("the purchase plan's page: what to order of whom, by when, and what comes late") {
    const Node page = read(purchase_page(bought()));
    check_page(page);
    CHECK(page.all("h1").front()->text == "What to buy");
    // 63 + 9 + 13.50 of goods, 12 for the one delivery that is not free
    CHECK(has_text(page, "97.50 EUR to pay, for 2 orders; some of it comes late, or not at all."));
    REQUIRE(page.all("figure").size() == 1);
    const Node& figure = *page.all("figure").front();
    CHECK(figure.all("circle").size() == 2); // an order each
    CHECK(has_text(figure, "by 2026-03-12, 84.00 EUR"));
    CHECK(has_text(figure, "by 2026-03-20, 13.50 EUR"));
    const auto tables = page.all("table");
    REQUIRE(tables.size() == 5);
    const auto rows_of = [](const Node& table) { return table.all("tbody").front()->all("tr"); };
    const auto orders = rows_of(*tables[0]);
    REQUIRE(orders.size() == 2);
    CHECK(cells(*orders[0]) == std::vector<std::string>{"first & co", "2026-03-12", "2026-03-16", "2", "84.00"});
    const auto lines = rows_of(*tables[1]);
    REQUIRE(lines.size() == 5); // three goods, a delivery, the sum
    CHECK(cells(*lines[0]) ==
          std::vector<std::string>{"first & co", "2026-03-12", "pale ale malt", "2", "25 kg", "31.50", "63.00"});
    CHECK(cells(*lines[2]) == std::vector<std::string>{"first & co", "2026-03-12", "delivery", "", "", "", "12.00"});
    CHECK(cells(*lines[3]) ==
          std::vector<std::string>{"second", "2026-03-20", "bittering hop", "3", "100 g", "4.50", "13.50"});
    CHECK(cells(*lines[4]) == std::vector<std::string>{"", "", "to pay", "", "", "", "97.50"});
    const auto late = rows_of(*tables[2]);
    REQUIRE(late.size() == 3);
    CHECK(cells(*late[0]).back() == "2026-03-16");
    CHECK(cells(*late[1]).back() == "nobody offers it");
    CHECK(cells(*late[2]).back() == "not for the budget");
    std::vector<std::vector<std::string>> money; // adds up: 85.50 + 12 = 97.50, - 7.50 = 90
    for (const Node* row : rows_of(*tables[3])) money.push_back(cells(*row));
    CHECK(money == std::vector<std::vector<std::string>>{{"Packs", "85.50"},
                                                         {"Deliveries", "12.00"},
                                                         {"To pay", "97.50"},
                                                         {"Less the worth of what is left on 2026-04-10", "−7.50"},
                                                         {"The plan's cost", "90.00"}});
    CHECK(has_text(page, "No plan costs less (it is the plan's cost that is made least, not the sum to pay)."));
    CHECK(cells(*rows_of(*tables[4])[0]) ==
          std::vector<std::string>{"pale ale malt", "50 kg", "41.25 kg", "6.5 kg", "2.25 kg", "B1, B2"});
    CHECK(has_text(page,
                   "Order by 2026-03-20 filled up to free delivery from 10.00 EUR on: 2 x 100 g of bittering hop; 9.00 "
                   "more now, 6.00 of delivery saved, 4.25 saved on the next"));
    CHECK(has_text(page, "no lead time is stated for `second`: 4 days"));
}

TEST_CASE("a purchase plan of nothing, one that was not found and one that is not proven say so") {
    PurchasePage page = bought();
    page.plan.proven_optimal = false;
    page.plan.gap = 0.0234;
    page.plan.bound = 87.894;
    CHECK(has_text(read(purchase_page(page)), "No plan costs less than 87.89: this one is within 2.34 % (it is the "
                                              "plan's cost that is made least, not the sum to pay)."));
    page.plan.looked_twice = false;
    CHECK(has_text(read(purchase_page(page)), "within 2.34 %, by a proof that was not looked at twice (it is"));
    page.plan.orders.clear();
    page.purposes.clear();
    page.fills.clear();
    CHECK(has_text(read(purchase_page(page)), "Nothing that can be bought helps."));
    page.plan.late.clear();
    CHECK(has_text(read(purchase_page(page)), "Nothing to buy: what is there and on its way will do."));
    CHECK(read(purchase_page(page)).all("figure").empty());
    page.plan.found = false;
    CHECK(has_text(read(purchase_page(page)), "No plan was found within the time."));
    page.drawn.wanted.needs.clear();
    CHECK(has_text(read(purchase_page(page)), "No plan needs anything."));
}

TEST_CASE("names may be broken between their words; figures, dates and options stand in one line") {
    PurchasePage page = bought();
    const Node shown = read(purchase_page(page));
    std::set<std::string> broken, whole;
    for (const Node* span : shown.all("span"))
        if (span->attributes.at("class") == "whole") whole.insert(span->text);
    for (const char* name : {"td", "th"})
        for (const Node* cell : shown.all(name))
            if (const auto kind = cell->attributes.find("class");
                kind != cell->attributes.end() && kind->second == "words")
                broken.insert(cell->text);
    CHECK(broken.contains("pale ale malt"));
    CHECK(broken.contains("first & co"));
    CHECK(broken.contains("Less the worth of what is left on 2026-04-10"));
    CHECK(whole.contains("2026-04-10"));
    CHECK_FALSE(broken.contains("2026-03-12"));
    CHECK_FALSE(broken.contains("25 kg"));
    std::set<std::string> of_sheet;
    const Node sheet = read(count_sheet_page({}, day("2026-03-10")));
    for (const Node* span : sheet.all("span"))
        if (span->attributes.at("class") == "whole") of_sheet.insert(span->text);
    CHECK(of_sheet == std::set<std::string>{"2026-03-10", "--reason"});
}

// What breaks if this breaks: a brewer looks for a lot that is called otherwise.
TEST_CASE("in other units names and people's own words stay, in sentences and tables too") {
    const AnswersIn in(Units::us, {"malt in 5 kg bags", "BAG 5 kg, at 20 °C", "damp at 20 °C, 5 kg lost"});
    StockPage page;
    page.items.today = page.lots.today = day("2026-03-10");
    StockLine line;
    line.item = "malt in 5 kg bags";
    line.lot = "BAG 5 kg, at 20 °C";
    line.held = "damp at 20 °C, 5 kg lost";
    line.on_hand = line.free = Amount::of(Kilograms(20.0));
    line.promised = Amount::of(Kilograms(0.0));
    page.items.lines = page.lots.lines = {line};
    page.covers = {{{line.item, ItemKind::malt, line.free, std::nullopt}, 500'000.0, day("2026-04-19")}};
    Lot lot;
    lot.code = line.lot;
    lot.item = line.item;
    lot.received = day("2026-03-01");
    lot.received_amount = line.on_hand;
    StockRow row;
    row.item = line.item;
    row.lot = line.lot;
    row.on_hand = line.on_hand;
    for (const std::string& made : {stock_page(page), labels_page({lot}), count_sheet_page({row}, day("2026-03-10"))}) {
        const Node shown = read(made);
        std::vector<std::string> said;
        for (const char* name : {"td", "th", "p", "text"})
            for (const Node* node : shown.all(name)) said.push_back(node->text);
        const auto says = [&](const std::string& words) {
            return std::ranges::any_of(said, [&](const auto& text) { return text.find(words) != std::string::npos; });
        };
        CHECK(says("malt in 5 kg bags"));
        CHECK(says("BAG 5 kg, at 20 °C"));
        CHECK_FALSE(says("5 lb"));
        CHECK(says("44.09 lb")); // 20 kg
        CHECK_FALSE(says("20 kg"));
    }
    CHECK(has_text(read(stock_page(page)), "on hold: damp at 20 °C, 5 kg lost"));
}
