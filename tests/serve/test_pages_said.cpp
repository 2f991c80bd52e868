// What pages say to who stands at the kettle: units, lines, what comes next; no command to type.
#include "within.hpp"
#include <doctest/doctest.h>

using namespace lotwort::test;

namespace {

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::string main_of(const Got& got) {
    return got.body.substr(got.body.find("<main"));
}

} // namespace

TEST_CASE("on a brew day the next reading stands first, and the extract in the kettle is told") {
    Served served({"init", "receive 'pale ale malt' 25kg --lot PAM-1 --extract 80% --basis fine-as-is --moisture 4%",
                   "brewhouse add shed 23L", "recipe add pale 23L --malt 'pale ale malt=4.5kg'",
                   "plan pale --on 2026-03-14", "brew P1", "measure B1 kettle-full 28L 1.040@20C"});
    const std::string page = main_of(served.get("/brew-day/B1"));
    // 28 L of 1.040: 28 * 1.040 * 0.9982 kg at 10.00 °P are 2.907 kg of the 3.6 kg that the malt holds
    CHECK(holds(page, "In the kettle: 80.8 % of the extract"));
    CHECK(page.find("id=\"read-cast-out\"") < page.find("id=\"read-mash\""));
    CHECK(holds(page, "Measure next: Cast-out"));
    (void)served.run("measure B1 fermenter 23L 1.044@20C");
    CHECK(holds(main_of(served.get("/brew-day/B1")), "Brewhouse efficiency by the readings: "));
}

TEST_CASE("a line of a form that is wrong is named by its number there") {
    Served served({"init", "receive 'pale ale malt' 25kg --lot PAM-1"});
    auto delivery = hidden_fields(served.get("/receive").body, "delivery");
    CHECK(holds(served.get("/receive").body, "<legend>Line 1</legend>"));
    delivery[".row2.item"] = "pale ale malt";
    delivery[".row2.amount"] = "25kg";
    delivery[".row3.item"] = "wheat malt";
    delivery[".row3.amount"] = "3 bags";
    const Got got = served.post("/do/receive", encoded(delivery));
    CHECK(got.status == 422);
    CHECK(holds(got.body, "line 2: "));
    CHECK(!holds(got.body, "line 3: "));
}

TEST_CASE("what is counted is in the unit of the scale; another unit may be typed") {
    Served served({"init", "receive 'pale ale malt' 25kg --lot PAM-1", "receive 'ale yeast' 3pieces --lot Y-1"});
    auto sheet = hidden_fields(served.get("/count").body, "sheet");
    CHECK(sheet[".row2.unit"] == "kg");
    sheet[".row2.counted"] = "24,2";
    sheet[".row2.reason"] = "spilled";
    sheet[".row3.counted"] = "2";
    sheet[".row3.reason"] = "used";
    CHECK(holds(served.post("/do/count", encoded(sheet)).body, "booked as entry"));
    CHECK(holds(served.run("stock --csv"), "24.2"));
    auto lot = hidden_fields(served.get("/lots/PAM-1").body, "count");
    lot[".amount"] = "24000g";
    lot["reason"] = "spilled";
    CHECK(holds(served.post("/do/count", encoded(lot)).body, "24 kg"));
    auto gone = hidden_fields(served.get("/lots/PAM-1").body, "discard");
    gone[".amount"] = "1.5";
    gone["reason"] = "wet";
    CHECK(holds(served.post("/do/discard", encoded(gone)).body, "discarded 1.5 kg"));
}

TEST_CASE("what comes next is a button") {
    Served served({"init", "receive 'pale ale malt' 25kg --lot PAM-1", "brewhouse add shed 23L"});
    auto recipe = hidden_fields(served.get("/ask/recipe").body, "verb");
    recipe["ACTION"] = "add";
    recipe["NAME"] = "pale";
    recipe["VOLUME"] = "23L";
    recipe["gravity"] = "1.048";
    recipe["malt"] = "pale ale malt=100%";
    const Got got = served.post("/do/recipe", encoded(recipe));
    CHECK(holds(got.body, "booked as entry"));
    CHECK(!holds(got.body, "next: lotwort"));
    CHECK(holds(got.body, "class=\"go\">Plan a brew</a>"));
}

TEST_CASE("a page tells no command to type: what it would lead to is a link") {
    Served served({"init", "receive 'pale ale malt' 25kg --lot PAM-1",
                   "receive 'bittering hop' 500g --lot BH-1 --alpha 10%", "brewhouse add shed 23L",
                   "recipe add pale 23L --malt 'pale ale malt=4.5kg' --hop 'bittering hop=30g@boil,60' --sure",
                   "plan pale --on 2026-03-14", "plan pale --on 2026-03-28", "brew P2",
                   "measure B1 kettle-full 28L 1.040@20C"});
    const std::string plan = main_of(served.get("/plans/P1"));
    CHECK(holds(plan, "Its sheet</a>"));
    CHECK(holds(plan, "no day to age it from:\n  <a href=\"/lots/BH-1\" class=\"go\">Look at the lot</a>"));
    CHECK(holds(plan, "/ask/brewhouse?run=&amp;ACTION=show&amp;NAME=shed"));
    CHECK(holds(served.get("/ask/brewhouse?run=&ACTION=show&NAME=shed").body, "The answer"));
    auto form = hidden_fields(served.get("/plans").body, "plan");
    form["RECIPE"] = "pale";
    const std::string booked = main_of(served.post("/do/plan", encoded(form)));
    CHECK(holds(booked, "booked as entry"));
    CHECK(!holds(booked, "lotwort "));
    for (const char* page :
         {"/", "/plans/P1", "/lots/PAM-1", "/brews/B1", "/page/brewery", "/page/brewhouse", "/stock"}) {
        CAPTURE(page);
        CHECK(!holds(main_of(served.get(page)), "lotwort "));
    }
}

TEST_CASE("what the brew of the day lacks is told beside it, and nowhere else") {
    Served served({"init", "receive 'pale ale malt' 3kg --lot PAM-1", "brewhouse add shed 23L",
                   "recipe add pale 23L --malt 'pale ale malt=4.5kg' --sure", "plan pale --on 2026-03-14 || true",
                   "plan pale --on 2026-03-28 || true"});
    const std::string page = main_of(served.get("/"));
    const auto lacks = page.find("It lacks 1.5 kg of pale ale malt.");
    CHECK(lacks != std::string::npos);
    CHECK(lacks < page.find("Weigh and begin"));
    CHECK(page.find("1.5 kg", lacks + 20) == std::string::npos);
    CHECK(holds(page, "lacks 4.5 kg of pale ale malt")); // of the other plan
}

TEST_CASE("pages of an empty ledger say what there is to do first, and tell no command") {
    Served served({"init"});
    CHECK(holds(main_of(served.get("/stock")), "No stock yet: <a href=\"/receive\" class=\"go\">Receive</a>"));
    CHECK(holds(served.get("/count").body, "nothing is in stock to be counted"));
    CHECK(!holds(served.get("/count").body, "Book the count"));
    CHECK(holds(served.get("/brews").body, "nothing was brewed yet"));
    for (const char* page :
         {"/", "/stock", "/count", "/plans", "/brews", "/brew-day", "/recipes", "/buy", "/history"}) {
        CAPTURE(page);
        CHECK(!holds(main_of(served.get(page)), "lotwort "));
    }
}

TEST_CASE("a long answer's other lines are a link, and no command to type") {
    std::vector<std::string> lines{"init", "brewhouse add shed 23L"};
    std::string recipe = "recipe add pale 23L --sure";
    for (const std::string malt : {"pale ale", "wheat", "crystal", "munich", "rye", "oat", "spelt", "smoked"}) {
        lines.push_back("receive '" + malt + " malt' 1kg --price 2");
        lines.push_back("offer add Hillside '" + malt + " malt' 5kg 9.50");
        recipe += " --malt '" + malt + " malt=0.6kg'";
    }
    lines.push_back(recipe);
    for (const char* day : {"2026-04-02", "2026-05-02", "2026-06-02"})
        lines.push_back("plan pale --on " + std::string(day));
    Within served(lines);
    const auto finished = [&](const Got& got) { return work_of(got).empty() ? got : served.ended(work_of(got)); };
    served.hold_up(); // so that it is told at the search's own address, and later at the one that asked
    const Got asked = served.get("/ask/buy?run=&limit=1s");
    served.let_go();
    for (const Got& buy : {served.ended(work_of(asked)), finished(served.get("/ask/buy?run=&limit=1s"))}) {
        CHECK(holds(buy.body, "more lines with"));
        CHECK(holds(buy.body, "\"/ask/buy?run=&amp;limit=1s&amp;full!=\""));
    }
    CHECK(!holds(finished(served.get("/ask/buy?run=&limit=1s&full!=")).body, "more lines with"));

    (void)served.run("plan pale --on 2026-03-14 --volume 5L");
    (void)served.run("brew P4");
    (void)served.run("measure B1 kettle-full 7L 1.040@20C");
    const Got balance = served.get("/ask/reconcile?run=&BREW=B1");
    CHECK(holds(balance.body, "every quantity and reading"));
    CHECK(!holds(balance.body, "lotwort reconcile"));
    CHECK(holds(balance.body, "<a href=\"/ask/reconcile?run=&amp;BREW=B1&amp;full!=\" class=\"go\">All of it</a>"));
    CHECK(served.get("/ask/reconcile?run=&BREW=B1&full!=").status == 200);
}
