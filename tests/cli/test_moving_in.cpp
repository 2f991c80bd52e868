// A brewery moves in from its spreadsheets: stock, brews and readings, in three commands.
#include "brewery.hpp"
#include "golden.hpp"
#include "session.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <sstream>

using namespace lotwort::test;

namespace {

// The page's sheets, as a spreadsheet saves them: with a byte order mark, and lines ended by CR LF.
void write_sheets(const Workplace& place, const std::string& page) {
    std::istringstream in(project_file(page));
    std::string name, text;
    for (std::string line; std::getline(in, line);) {
        if (line.starts_with("```sheet ")) {
            name = line.substr(9);
            text = "\xEF\xBB\xBF";
        } else if (line == "```" && !name.empty()) {
            CHECK(place.run("cat > " + name + " <<'END'\n" + text + "END").status == 0);
            name.clear();
        } else if (!name.empty()) {
            text += line + "\r\n";
        }
    }
}

void begin(const Brewery& b) {
    b.done("init");
    b.done("brewhouse add yard 220L");
    b.done("receive \"pale ale malt\" 100kg --lot A --on 2026-01-02");
}

} // namespace

TEST_CASE("the page on moving in prints what it says, sheet by sheet") {
    const Workplace place;
    write_sheets(place, "docs/moving-in.md");
    int commands = 0;
    for (const Session& session : sessions_in("docs/moving-in.md"))
        for (const Step& step : session.steps) {
            INFO("$ " << step.command);
            const auto result = place.run("{ " + step.command + "\n} 2>&1");
            CHECK(result.status == 0);
            CHECK(result.out == step.prints);
            ++commands;
        }
    CHECK(commands >= 7);
}

TEST_CASE("two hundred brews move in by three commands, and leave the counted stock as it is") {
    const Brewery b("2026-03-14");
    b.done("init");
    b.done("brewhouse add yard 220L");
    std::string brews = "Gyle;Day;Beer;Goods;Weight;Where;Minutes\n", readings = "brew;point;volume;gravity\n";
    for (int i = 0; i < 200; ++i) {
        const std::string code = fmt::format("G{:03}", i);
        const std::string day = fmt::format("{:02}.{:02}.202{}", 1 + i % 28, 1 + i / 28 % 12, 4);
        brews += fmt::format("{0};{1};pale {2};pale ale malt;{3},5kg;;\n{0};{1};pale {2};bittering hop;{4}g;boil;60\n",
                             code, day, i % 3, 40 + i % 5, 150 + i % 7);
        readings +=
            fmt::format("{0};kettle-full;{1}L;1,041\n{0};fermenter;{2}L;1,046\n", code, 260 + i % 9, 215 + i % 6);
    }
    b.write("store.csv", "\xEF\xBB\xBFitem;amount;price\r\npale ale malt;312,5kg;406,25\r\n");
    b.write("brews.csv", brews);
    b.write("readings.csv", readings);
    b.done("receive --delivery FOLDER/store.csv");
    const std::string told =
        b.done("import FOLDER/brews.csv --brews --columns "
               "brew=Gyle,date=Day,recipe=Beer,item=Goods,amount=Weight,stage=Where,minutes=Minutes");
    CHECK(told.find("opening lots were made") != std::string::npos);
    b.done("import FOLDER/readings.csv --readings");
    CHECK(b.json("brew")["brews"].size() == 200);
    CHECK(b.json("brew G007")["brew"]["readings"].size() == 2);
    CHECK(b.json("recipe list")["recipes"].size() == 3);
    const Json stock = b.json("stock")["items"];
    CHECK(stock.size() == 1); // the hop's opening lot is empty
    CHECK(stock[0]["on_hand_kg"] == 312.5);
    b.check_round_trip();
}

TEST_CASE("a sheet of brews is taken in once, and what has grown since is new") {
    Brewery b;
    begin(b);
    b.write("brews.csv", "brew,date,item,lot,amount\nX1,2026-02-01,pale ale malt,A,40kg\n");
    b.done("import FOLDER/brews.csv --brews");
    CHECK(b.json("lot A")["on_hand_kg"] == 60);
    b.write("brews.csv",
            "brew,date,item,lot,amount\nX1,2026-02-01,pale ale malt,A,40kg\nX2,2026-02-08,pale ale malt,A,41kg\n");
    CHECK(b.done("import FOLDER/brews.csv --brews").find("passed over: X1") != std::string::npos);
    CHECK(b.json("lot A")["on_hand_kg"] == 19);
    CHECK(b.run("import FOLDER/brews.csv --brews").out.find("holds nothing that the ledger lacks") !=
          std::string::npos);
    b.write("more.csv", "brew,date,item,lot,amount\nX3,2026-02-09,pale ale malt,A,41kg\n");
    CHECK(b.run("import FOLDER/more.csv --brews").status == 3); // the lot has 19 kg
}

TEST_CASE("what is wrong with two hundred rows is told a line a kind") {
    const Brewery b;
    begin(b);
    std::string text = "brew,date,item,amount\n";
    for (int i = 0; i < 200; ++i)
        text += fmt::format("Y{},{},pale ale malt,{}\n", i, i % 2 == 0 ? "some day" : "2026-02-01",
                            i % 2 == 0 ? "4kg" : "lots");
    b.write("brews.csv", text);
    const Said said = b.run("import FOLDER/brews.csv --brews");
    CHECK(said.status == 1);
    CHECK(std::ranges::count(said.error, '\n') == 2);
    CHECK(said.error.find("200 of its rows cannot be read") != std::string::npos);
    CHECK(said.error.find("line 2: `some day`") != std::string::npos);
    CHECK(said.error.find("99 more lines like it") != std::string::npos);
    CHECK(b.json("brew")["brews"].size() == 0);
}
