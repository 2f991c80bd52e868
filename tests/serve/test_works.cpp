// Searches that last: the page says how far they are, and a button stops them.
#include "served.hpp"
#include <algorithm>
#include <chrono>
#include <doctest/doctest.h>
#include <thread>

using namespace lotwort::test;

namespace {

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

// Four malts in three packs of two suppliers over a year of brews: seconds of search.
std::vector<std::string> year_of_brews() {
    std::vector<std::string> lines{"init", "brewhouse add garage 23L",
                                   "offer terms Hillside --delivery 18 --lead 3days",
                                   "offer terms Valley --delivery 12 --lead 5days"};
    for (const std::string malt : {"'pale ale malt'", "'wheat malt'", "'crystal malt'", "'munich malt'"}) {
        lines.push_back("receive " + malt + " 5kg --price 7");
        lines.push_back("offer add Hillside " + malt + " 25kg 32.50 --from 10=29.80 --shelf-life 365days");
        lines.push_back("offer add Hillside " + malt + " 5kg 9.50 --shelf-life 200days");
        lines.push_back("offer add Valley " + malt + " 10kg 14.80 --from 5=13.10 --shelf-life 165days");
    }
    lines.emplace_back("recipe add pale 23L --malt 'pale ale malt=4kg' --malt 'wheat malt=1.3kg' "
                       "--malt 'crystal malt=0.4kg' --malt 'munich malt=0.9kg' --sure");
    for (int month = 4; month <= 12; ++month)
        for (const char* day : {"-02", "-09", "-16", "-23", "-28"})
            lines.push_back("plan pale --on 2026-" + std::string(month < 10 ? "0" : "") + std::to_string(month) + day);
    return lines;
}

std::string work_of(const Got& got) {
    const auto refresh = got.headers.find("refresh");
    if (refresh == got.headers.end()) return {};
    return refresh->second.substr(refresh->second.find("/search/"));
}

Got ended(Served& served, const std::string& address) {
    Got got = served.get(address);
    for (int i = 0; i < 300 && !work_of(got).empty(); ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(100));
        got = served.get(address);
    }
    return got;
}

} // namespace

TEST_CASE("a search says how far it is without a script, is stopped by a button, and gives its best with its bound") {
    Served served(year_of_brews());
    const Got first = served.get("/ask/buy?run=&holding=8%25&limit=60s");
    const std::string address = work_of(first);
    REQUIRE(!address.empty());
    CHECK(holds(first.headers.at("refresh"), "1; url=/search/"));
    CHECK(holds(first.body, "Stop it: the best so far will do"));
    CHECK(work_of(served.get("/ask/buy?run=&holding=8%25&limit=60s")) == address); // asked twice, it is one search
    CHECK(served.get("/stock").status == 200);                                     // and keeps nobody waiting
    const auto stop = hidden_fields(first.body, "stop");
    CHECK(served.post(address, "token=0").status == 403);
    CHECK(!work_of(served.get(address)).empty());
    const Got stopped = served.post(address, encoded(stop));
    CHECK(stopped.status == 303);
    CHECK(stopped.headers.at("location") == address);
    const Got answer = ended(served, address);
    CHECK(holds(answer.body, "to pay, the first by"));
    CHECK((holds(answer.body, "dearer than the least there can be") || holds(answer.body, "nothing costs less") ||
           holds(answer.body, "how near it is to the least is not known")));
    CHECK(holds(served.get(address).body, "to pay, the first by")); // loaded anew, it is there
    CHECK(served.get("/search/0123").status == 404);
}

TEST_CASE("an order that is stopped books nothing; sent twice it is one search, and books once") {
    Served served(year_of_brews());
    const std::string before = served.run("history --csv");
    auto order = hidden_fields(served.get("/ask/buy").body, "verb");
    order["order!"] = "";
    order["holding"] = "8%";
    order["limit"] = "60s";
    const Got first = served.post("/do/buy", encoded(order));
    const std::string address = work_of(first);
    REQUIRE(!address.empty());
    CHECK(work_of(served.post("/do/buy", encoded(order))) == address);
    CHECK(served.post(address, encoded(hidden_fields(first.body, "stop"))).status == 303);
    const Got answer = ended(served, address);
    CHECK(answer.status == 422);
    CHECK(holds(answer.body, "nothing was booked"));
    CHECK(served.run("history --csv") == before);
    order["limit"] = "1s";
    const Got again = served.post("/do/buy", encoded(order));
    const Got booked = work_of(again).empty() ? again : ended(served, work_of(again));
    CHECK(holds(booked.body, "booked as entry"));
    CHECK(holds(served.post("/do/buy", encoded(order)).body, "booked"));
    const std::string after = served.run("history --csv");
    CHECK(std::count(after.begin(), after.end(), '\n') == std::count(before.begin(), before.end(), '\n') + 1);
}

TEST_CASE("searches wait for each other, four at most, and keep no page waiting") {
    Served served(year_of_brews());
    std::vector<Got> searches;
    for (const char* holding : {"1", "2", "3", "4"})
        searches.push_back(served.get(std::string("/ask/buy?run=&limit=60s&holding=") + holding + "%25"));
    REQUIRE(!work_of(searches.back()).empty());
    CHECK(holds(served.get(work_of(searches.back())).body, "another search is under way; this one comes next"));
    const Got fifth = served.get("/ask/buy?run=&limit=60s&holding=5%25");
    CHECK(fifth.status == 503);
    CHECK(holds(fifth.body, "four searches are under way already"));
    CHECK(served.get("/stock").status == 200);
    for (auto search = searches.rbegin(); search != searches.rend(); ++search)
        CHECK(served.post(work_of(*search), encoded(hidden_fields(search->body, "stop"))).status == 303);
    CHECK(holds(ended(served, work_of(searches.front())).body, "to pay, the first by"));
    const Got after = served.get("/ask/buy?run=&limit=1s&holding=5%25");
    CHECK(holds((work_of(after).empty() ? after : ended(served, work_of(after))).body, "to pay, the first by"));
}

TEST_CASE("an order on a page that others' entries have made old is told first") {
    Served served({"init", "brewhouse add garage 23L", "receive 'pale ale malt' 5kg --lot PAM-1 --price 7",
                   "offer add Hillside 'pale ale malt' 25kg 32.50",
                   "recipe add pale 23L --malt 'pale ale malt=8kg' --sure", "plan pale --on 2026-03-24"});
    const auto order = hidden_fields(served.get("/buy").body, "order");
    (void)served.run("plan pale --on 2026-04-24 --by Ben");
    const Got got = served.post("/do/buy", encoded(order));
    CHECK(got.status == 409);
    CHECK(holds(got.body, "by Ben: planned"));
    CHECK(holds(served.post("/do/buy", encoded(hidden_fields(got.body, "all-the-same"))).body, "booked as entry"));
    const auto late = hidden_fields(served.get("/ask/buy").body, "verb");
    auto second = late;
    second["order!"] = "";
    CHECK(served.post("/do/buy", encoded(second)).status == 422); // there is nothing to order
}
