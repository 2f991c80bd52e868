// Programs that send the state they have seen; pages behind an entry that changes what brews taught.
#include "served.hpp"
#include <chrono>
#include <csignal>
#include <doctest/doctest.h>
#include <string>
#include <thread>
#include <vector>

using namespace lotwort::test;

namespace {

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("a program that has seen an older state is told what has changed since, and books nothing") {
    Served served({"init", "receive 'pale ale malt' 25kg --lot PAM-1"});
    const auto sent = [&](const std::string& verb, const std::string& body, const std::string& state,
                          const std::string& key = {}) {
        Served::Headers headers{{"Content-Type", "application/json"}, {"If-Match", state}};
        if (!key.empty()) headers.emplace_back("Idempotency-Key", key);
        return served.post("/v1/" + verb, body, headers);
    };
    const std::string discard = R"({"LOT": "PAM-1", "AMOUNT": "1kg", "reason": "wet"})";
    CHECK(served.json("stock", "{}").headers["etag"] == "\"2\"");
    CHECK(sent("stock", "{}", "\"2\"").status == 200);
    const Got booked = sent("discard", discard, "\"2\"", "0123456789abcdef0123");
    CHECK(booked.status == 200);
    CHECK(booked.headers.at("etag") == "\"3\""); // its own entry is one that it knows of

    (void)served.run("receive 'wheat malt' 25kg --lot WM-1 --by Ben");
    const Got late = sent("discard", discard, "\"3\"");
    CHECK(late.status == 412);
    CHECK(holds(late.body, "\"changed\""));
    CHECK(holds(late.body, "\"by\": \"Ben\""));
    CHECK(holds(late.body, "received 25 kg of wheat malt as WM-1"));
    CHECK(holds(late.body, "If-Match: \\\"4\\\""));
    CHECK(sent("stock", "{}", "\"3\"").status == 412);
    CHECK(sent("reverse", R"({"ENTRY": "3"})", "\"3\"").status == 412);
    // sent again after a dead spot, it is answered by what it has booked
    const Got again = sent("discard", discard, "\"2\"", "0123456789abcdef0123");
    CHECK(holds(again.body, "lotwort/repeated/1"));
    CHECK(served.json("history", "{}").headers["etag"] == "\"4\"");

    CHECK(sent("discard", discard, "*").status == 200);
    CHECK(sent("discard", discard, "\"99\"").status == 412);
    for (const char* wrong : {"5", "\"5", "W/\"5\"", "\"\"", "\"5\", \"6\"", "\"-5\"", "\"99999999999999999999\""}) {
        CAPTURE(std::string(wrong));
        CHECK(sent("discard", discard, wrong).status == 400);
    }
    CHECK(served.json("stock", "{}").headers["etag"] == "\"5\"");
}

TEST_CASE(
    "behind a reading a lot's and a brew's page show what was learned last, say so, and come to what is learned now") {
    const std::vector<std::string> lines{"init",
                                         "receive 'pale ale malt' 50kg --lot PAM-1",
                                         "brewhouse add shed 23L",
                                         "recipe add pale 23L --malt 'pale ale malt=4.5kg' --sure",
                                         "plan pale --on 2026-03-14",
                                         "brew P1",
                                         "measure B1 kettle-full 28L@20C 1.040@20C fermenter 23L 1.046@20C",
                                         "plan pale --on 2026-03-14",
                                         "brew P2"};
    Served served(lines);
    for (const std::string page : {"/lots/PAM-1", "/brews/B1"}) {
        CAPTURE(page);
        CHECK(!holds(served.get(page).body, "is as of"));
        CHECK(holds(served.run("measure B2 kettle-full 27L@20C 1.041@20C"), "booked"));
        Got got = served.get(page);
        CHECK(holds(got.body, "What the brews taught is as of entry "));
        CHECK(holds(got.body, "Show it with that"));
        while (holds(got.body, "is as of")) {
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
            got = served.get(page);
        }
        const auto main_of = [](const Got& shown) {
            const auto from = shown.body.find("<table");
            return shown.body.substr(from, shown.body.find("</main>") - from);
        };
        served.kill(SIGTERM);
        served.start(); // which has learned nothing yet: it learns from all of it at once
        CHECK(main_of(served.get(page)) == main_of(got));
    }
}
