// Searches and imports that last: the page says how far they are, and a button stops them.
#include "within.hpp"
#include <algorithm>
#include <cstddef>
#include <doctest/doctest.h>
#include <string>
#include <vector>

using namespace lotwort::test;

namespace {

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

// A malt in two packs of two suppliers over a season of brews.
std::vector<std::string> season_of_brews() {
    std::vector<std::string> lines{"init",
                                   "brewhouse add garage 23L",
                                   "offer terms Hillside --delivery 18 --lead 3days",
                                   "offer terms Valley --delivery 12 --lead 5days",
                                   "receive 'pale ale malt' 5kg --lot PAM-1 --price 7",
                                   "offer add Hillside 'pale ale malt' 25kg 32.50 --from 10=29.80",
                                   "offer add Valley 'pale ale malt' 10kg 14.80 --from 5=13.10",
                                   "recipe add pale 23L --malt 'pale ale malt=4kg' --sure"};
    for (const char* month : {"04", "05", "06", "07", "08", "09"})
        lines.push_back("plan pale --on 2026-" + std::string(month) + "-02");
    return lines;
}

const char* const search = "/ask/buy?run=&holding=8%25&limit=60s";

std::ptrdiff_t entries(const Within& served) {
    const std::string text = served.run("history --csv");
    return std::count(text.begin(), text.end(), '\n');
}

} // namespace

TEST_CASE("a search says how far it is without a script, is stopped by a button, and gives its best with its bound") {
    Within served(season_of_brews());
    served.hold_up();
    const Got first = served.get(search);
    const std::string address = work_of(first);
    REQUIRE(!address.empty());
    CHECK(holds(first.headers.at("refresh"), "1; url=/search/"));
    CHECK(holds(first.body, "Stop it: the best so far will do"));
    CHECK(work_of(served.get(search)) == address); // asked twice, it is one search
    CHECK(served.get("/stock").status == 200);     // and keeps nobody waiting
    CHECK(served.post(address, "token=0").status == 403);
    CHECK(holds(served.get(address).body, "Stop it"));
    const Got stopped = served.post(address, encoded(hidden_fields(first.body, "stop")));
    CHECK(stopped.status == 303);
    CHECK(stopped.headers.at("location") == address);
    CHECK(holds(served.get(address).body, "It is being stopped."));
    served.let_go();
    CHECK(holds(served.ended(address).body, "to pay, by"));
    CHECK(holds(served.get(address).body, "to pay, by")); // loaded anew, it is there
    CHECK(served.get("/search/0123").status == 404);
}

TEST_CASE("an order that is stopped books nothing; sent twice it is one search, and books once") {
    Within served(season_of_brews());
    const auto before = entries(served);
    auto order = hidden_fields(served.get("/ask/buy").body, "verb");
    order["order!"] = "";
    order["limit"] = "1s";
    served.hold_up();
    const Got first = served.post("/do/buy", encoded(order));
    const std::string address = work_of(first);
    REQUIRE(!address.empty());
    CHECK(holds(first.body, "Stop it: nothing is booked"));
    CHECK(work_of(served.post("/do/buy", encoded(order))) == address);
    CHECK(served.post(address, encoded(hidden_fields(first.body, "stop"))).status == 303);
    served.let_go();
    const Got answer = served.ended(address);
    CHECK(answer.status == 422);
    CHECK(holds(answer.body, "it was stopped, and nothing was booked"));
    CHECK(entries(served) == before);
    const Got again = served.post("/do/buy", encoded(order));
    CHECK(holds((work_of(again).empty() ? again : served.ended(work_of(again))).body, "booked as entry"));
    const Got twice = served.post("/do/buy", encoded(order));
    CHECK(holds((work_of(twice).empty() ? twice : served.ended(work_of(twice))).body, "booked already"));
    CHECK(entries(served) == before + 1);
}

TEST_CASE("what is only tried, and a search that books nothing, are stopped with the best so far") {
    Within served(season_of_brews());
    auto order = hidden_fields(served.get("/ask/buy").body, "verb");
    served.hold_up();
    CHECK(holds(served.post("/do/buy", encoded(order)).body, "Stop it: the best so far will do"));
    order["order!"] = order["dry-run!"] = "";
    CHECK(holds(served.post("/do/buy", encoded(order)).body, "Stop it: the best so far will do"));
}

TEST_CASE("searches wait for each other, four at most, and keep no page waiting") {
    Within served(season_of_brews());
    served.hold_up();
    std::vector<Got> searches;
    for (const char* holding : {"1", "2", "3", "4"})
        searches.push_back(served.get(std::string("/ask/buy?run=&limit=1s&holding=") + holding + "%25"));
    REQUIRE(!work_of(searches.back()).empty());
    const Got fifth = served.get("/ask/buy?run=&limit=1s&holding=5%25");
    CHECK(fifth.status == 503);
    CHECK(holds(fifth.body, "four searches are under way already"));
    CHECK(served.get("/stock").status == 200);
    served.let_go();
    for (const Got& got : searches) CHECK(holds(served.ended(work_of(got)).body, "to pay, by"));
    const Got after = served.get("/ask/buy?run=&limit=1s&holding=5%25");
    CHECK(holds((work_of(after).empty() ? after : served.ended(work_of(after))).body, "to pay, by"));
}

TEST_CASE("an import that is stopped books nothing of its file, and says so; sent again it is booked whole") {
    const Served from({"init", "receive 'pale ale malt' 25kg --lot PAM-1", "receive 'wheat malt' 25kg --lot WM-1"});
    const std::string file = from.run("export");
    Within served({"init"});
    const auto before = entries(served);
    auto form = hidden_fields(served.get("/ask/import").body, "verb");
    form["sent"] = file;
    served.hold_up();
    const Got first = served.post("/do/import", encoded(form));
    const std::string address = work_of(first);
    REQUIRE(!address.empty());
    CHECK(holds(first.body, "Stop it: nothing is booked"));
    CHECK(work_of(served.post("/do/import", encoded(form))) == address); // a double tap
    CHECK(served.post(address, encoded(hidden_fields(first.body, "stop"))).status == 303);
    CHECK(holds(served.get(address).body, "It is being stopped."));
    served.let_go();
    const Got answer = served.ended(address);
    CHECK(answer.status == 422);
    CHECK(holds(answer.body, "Not booked"));
    CHECK(holds(answer.body, "it was stopped, and nothing was booked"));
    CHECK(entries(served) == before);
    CHECK(!holds(served.run("stock"), "PAM-1"));
    const Got again = served.post("/do/import", encoded(form));
    CHECK(holds((work_of(again).empty() ? again : served.ended(work_of(again))).body, "booked as entry 2"));
    CHECK(served.run("export") == file);
}

TEST_CASE("an order on a page that others' entries have made old is told first") {
    Within served({"init", "brewhouse add garage 23L", "receive 'pale ale malt' 5kg --lot PAM-1 --price 7",
                   "offer add Hillside 'pale ale malt' 25kg 32.50",
                   "recipe add pale 23L --malt 'pale ale malt=8kg' --sure", "plan pale --on 2026-03-24"});
    const auto finished = [&](const Got& got) { return work_of(got).empty() ? got : served.ended(work_of(got)); };
    const auto order = hidden_fields(finished(served.get("/buy")).body, "order");
    (void)served.run("plan pale --on 2026-04-24 --by Ben");
    const Got got = finished(served.post("/do/buy", encoded(order)));
    CHECK(got.status == 409);
    CHECK(holds(got.body, "by Ben: planned"));
    CHECK(holds(finished(served.post("/do/buy", encoded(hidden_fields(got.body, "all-the-same")))).body,
                "booked as entry"));
    auto second = hidden_fields(served.get("/ask/buy").body, "verb");
    second["order!"] = "";
    CHECK(finished(served.post("/do/buy", encoded(second))).status == 422); // there is nothing to order
}
