// The last that import takes and the first that it refuses, and what it knows again.
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/csv.hpp>
#include <lotwort/exchange/exchange_file.hpp>

using namespace lotwort;

namespace {

constexpr std::string_view ledger_text = R"({"schema": "lotwort/exchange/1",
"items": [{"name": "pale malt", "kind": "malt"}, {"name": "yeast", "kind": "yeast"}, {"name": "sugar", "kind": "sugar"}],
"brewhouses": [{"name": "main", "volume_l": 20}],
"lots": [{"code": "PM-1", "item": "pale malt", "received": "2026-03-01", "mass_kg": 25},
{"code": "SU-1", "item": "sugar", "received": "2026-03-01", "mass_kg": 5}],
"brews": [{"code": "B1", "date": "2026-03-02", "brewhouse": "main"},
{"code": "B2", "date": "2026-03-03", "brewhouse": "main"}],
"packages": [{"code": "B1-1", "brew": "B1", "packaged": "2026-03-10", "count": 10, "each_l": 0.5}]})";

// What an import on 2026-03-14 says of these lists; empty where it takes them.
std::string refusal(const std::string& lists) {
    const std::string text = "{\"schema\": \"lotwort/exchange/1\",\n" + lists + "}";
    const Book ledger = read_exchange(ledger_text, "ledger");
    try {
        Places places;
        const Book file = read_exchange(text, "f", &places);
        (void)new_in(file, ledger, "f", places, parse_iso_date("2026-03-14"));
        return {};
    } catch (const Error& error) {
        return error.what();
    }
}

std::string run(const std::string& packaged, const std::string& sent) {
    return refusal(R"("packages": [{"code": "B2-1", "brew": "B2", "packaged": ")" + packaged +
                   R"(", "count": 10, "each_l": 0.5, "sent": [)" + sent + "]}]");
}
std::string sent(const std::string& to, int count) {
    return fmt::format(R"({{"sent_on": "2026-03-12", "to_whom": "{}", "count": {}}})", to, count);
}

Reading gravity(const std::string& id, double sg) {
    Reading reading;
    reading.id = id;
    reading.point = ReadingPoint::fermenting;
    reading.gravity_sg = SpecificGravity(sg);
    return reading;
}

Book with_readings(std::vector<Reading> readings) {
    Book book = read_exchange(ledger_text, "ledger");
    book.brews[0].readings = std::move(readings);
    return book;
}

std::vector<std::string> ids_added(const std::vector<Reading>& file, const std::vector<Reading>& ledger) {
    std::vector<std::string> ids;
    for (const Brew& brew : new_in(with_readings(file), with_readings(ledger), "f").brews)
        for (const Reading& reading : brew.readings) ids.push_back(reading.id);
    return ids;
}

using Ids = std::vector<std::string>;
using Cells = std::vector<std::string>;

std::string csv_refusal(std::string_view text) {
    try {
        (void)read_csv(text, "n.csv");
    } catch (const Error& error) {
        return error.what();
    }
    return {};
}

} // namespace

TEST_CASE("what happens on the day of its brew, or today, has happened") {
    CHECK(refusal(R"("brews": [{"code": "B3", "date": "2026-03-14", "brewhouse": "main"}])").empty());
    CHECK(refusal(R"("lots": [{"code": "Y1", "item": "yeast", "received": "2026-03-02", "mass_kg": 1,
"harvested_from": "B1", "generation": 1}])")
              .empty());
    CHECK(run("2026-03-03", "").empty());
    CHECK(run("2026-03-02", "") == "f:2:23: package B2-1: packaged on 2026-03-02, but B2 was brewed on 2026-03-03");
}

TEST_CASE("a run may be sold out, and all of it may come back, and no bottle more") {
    CHECK(run("2026-03-10", sent("the inn", 10)).empty());
    CHECK(run("2026-03-10", sent("the inn", 10) + "," + sent("the inn", -10)).empty());
    CHECK(run("2026-03-10", sent("the inn", 11)) == "f:2:23: package B2-1: 11 would be out of a run of 10");
    CHECK(run("2026-03-10", sent("the inn", 2) + "," + sent("home", -1)) ==
          "f:2:23: package B2-1: more comes back from home than went there");
}

TEST_CASE("sugar primes a run of its own brew alone") {
    const auto primed = [](const char* brew) {
        return refusal(fmt::format(R"("brews": [{{"code": "{}", "date": "{}", "brewhouse": "main", "additions":
[{{"lot": "SU-1", "stage": "fermenter", "mass_kg": 0.05, "on": "2026-03-10", "package": "B1-1"}}]}}])",
                                   brew, brew == std::string_view("B1") ? "2026-03-02" : "2026-03-03"));
    };
    CHECK(primed("B1").empty());
    CHECK(primed("B2").find("package `B1-1` is beer of B1") != std::string::npos);
}

TEST_CASE("grist and hops are awaited by mass; the first line behind them as it is kept") {
    const auto awaited = [](int line) {
        Book file;
        Recipe& recipe = file.recipes.emplace_back();
        recipe.name = "pale";
        recipe.volume = Litres(20.0);
        recipe.grist = {{"malt", {}, Kilograms(4.0)}};
        recipe.hops = {HopLine{"hop", Stage::boil, Minutes(60.0), {}, {}, Grams(20.0), {}}};
        recipe.others.emplace_back().item = "yeast";
        for (const char* name : {"malt", "hop", "yeast"}) file.items.emplace_back().name = name;
        file.brewhouses.emplace_back().name = "kit";
        Plan& plan = file.plans.emplace_back();
        plan.code = "P1";
        plan.recipe = "pale";
        plan.brewhouse = "kit";
        plan.adopted = "nearest";
        plan.awaited = {{line, Amount{Measure::count, 3}}};
        try {
            return new_in(file, {}, "f").plans.size() == 1 ? std::string() : std::string("no plan");
        } catch (const Error& error) {
            return std::string(error.what());
        }
    };
    CHECK(awaited(1) == "f: plan P1, awaited: 3 pieces of line 1 of pale, which is kept by mass");
    CHECK(awaited(2).empty());
}

TEST_CASE("a reading's number is its place in one notebook, its name is its own") {
    // two notebooks that each begin at r1: both are kept, the second behind the first
    CHECK(ids_added({gravity("r1", 1.020)}, {gravity("r1", 1.040)}) == Ids{"r2"});
    CHECK(ids_added({gravity("r2", 1.020)}, {gravity("r1", 1.040)}) == Ids{"r2"});
    CHECK(ids_added({gravity("r", 1.020)}, {gravity("r1", 1.040)}) == Ids{"r"});
    CHECK_THROWS_AS((void)ids_added({gravity("r", 1.020)}, {gravity("r", 1.040)}),
                    const Error&); // one name, two figures
    CHECK(ids_added({gravity("r7", 1.040)}, {gravity("r1", 1.040)}).empty());
}

TEST_CASE("dry hops that the file took back are known by their own day") {
    Book ledger = read_exchange(ledger_text, "ledger");
    Addition late;
    late.lot = "SU-1";
    late.stage = Stage::fermenter;
    late.amount = Amount::of(Kilograms(0.5));
    late.on = parse_iso_date("2026-03-06");
    ledger.brews[0].additions = {late};
    Book file = read_exchange(ledger_text, "ledger");
    Movement use;
    use.id = "a";
    use.on = *late.on;
    use.lot = late.lot;
    use.kind = MovementKind::brew;
    use.brew = "B1";
    use.stage = late.stage;
    use.change = -late.amount;
    Movement back;
    back.id = "b";
    back.on = use.on;
    back.lot = use.lot;
    back.kind = MovementKind::reversal;
    back.change = late.amount;
    back.reverses = "a";
    file.movements = {use, back};
    const Book part = new_in(file, ledger, "f", {}, {}, [](const Brew&) { return Ids{"m4"}; });
    REQUIRE(part.movements.size() == 1); // the use stands there already: what takes it back is all that is new
    CHECK(part.movements[0].reverses == "m4");
}

TEST_CASE("a currency is three letters; what a supplier charges is told in its money, however often it is left out") {
    const auto of = [](const std::string& lists) {
        try {
            (void)read_exchange("{\"schema\": \"lotwort/exchange/1\",\n" + lists + "}", "f");
            return std::string();
        } catch (const Error& error) {
            return std::string(error.what());
        }
    };
    CHECK(of(R"("currency": "EU")").find("`EU` is no currency") != std::string::npos);
    CHECK(of(R"("currency": "EURO")").find("`EURO` is no currency") != std::string::npos);
    CHECK(of(R"("currency": "EUR")").empty());
    const auto offer = [](const char* item, const char* more) {
        return fmt::format(R"({{"supplier": "s", "item": "{}", "pack_kg": 25,
"price_steps": [{{"packs": 1, "price": 5}}]{}}})",
                           item, more);
    };
    const auto said = of("\"offers\": [" + offer("a", ", \"delivery\": 15") + "," + offer("b", "") + "," +
                         offer("c", ", \"delivery\": 12.5") + "]");
    CHECK(said.find("12.5 here, but 15 elsewhere for supplier `s`") != std::string::npos);
}

TEST_CASE("a table of one column, one as wide as any, and rows cut short") {
    CHECK(read_csv("item\na b\n", "n.csv").separator == ',');
    CHECK(csv_refusal("a,b,c\n1,2\n") == "n.csv: line 2: 2 cells under 3 headings");
    std::string header = "c0";
    for (int i = 1; i < 1000; ++i) header += fmt::format(",c{}", i);
    CHECK(csv_refusal(header).empty());
    CHECK(csv_refusal(header + ",c1000") == "n.csv: line 1: 1001 columns; no table has more than 1000");
    std::string longest = "a\n";
    longest.append(16'000'000 - longest.size(), '1');
    CHECK(csv_refusal(longest).empty());
    CHECK(csv_refusal(longest + "1") == "n.csv is no delivery note: too long");
}

TEST_CASE("what a spreadsheet guards is read without its mark; signs, spaces and apostrophes stay what they are") {
    CHECK(read_csv("a,b,c,d\n'=1+1,-5,'90s hop,'-5\n", "n.csv").rows[0].cells == Cells{"=1+1", "-5", "'90s hop", "-5"});
    CHECK(read_csv("a,b\npale malt  , 25 \n", "n.csv").rows[0].cells == Cells{"pale malt", "25"});
}
