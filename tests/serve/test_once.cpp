// What is acknowledged is booked, and nothing is booked twice: after a double tap, a dead spot, a killed program.
// LOTWORT_KILLS=500 and LOTWORT_POSTS=250 (of each of eight clients) make of the last two what docs/methods states.
#include "served.hpp"
#include <algorithm>
#include <atomic>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <doctest/doctest.h>
#include <mutex>
#include <random>
#include <set>
#include <sstream>
#include <thread>

using namespace lotwort::test;

namespace {

const std::vector<std::string> some_malt{"init", "receive 'pale ale malt' 100kg --lot PAM-1"};

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

// The reasons of what was discarded, as the ledger has them.
std::multiset<std::string> reasons(const Served& served) {
    std::multiset<std::string> all;
    std::istringstream lines(served.run("history --csv --kind discard"));
    std::string line;
    std::getline(lines, line);
    while (std::getline(lines, line)) {
        const auto at = line.find("no-");
        if (at != std::string::npos) all.insert(line.substr(at, line.find_first_not_of("0123456789-no", at) - at));
    }
    return all;
}

std::string discard(const std::string& reason) {
    return R"({"LOT": "PAM-1", "AMOUNT": "1g", "reason": ")" + reason + "\"}";
}

std::string key_of(int client, int number) {
    return "client-" + std::to_string(client) + "-entry-" + std::to_string(number) + "-0000";
}

int times(const char* variable, int usual) {
    const char* said = std::getenv(variable);
    return said == nullptr ? usual : std::atoi(said);
}

} // namespace

TEST_CASE("a form that is sent again shows the entry it booked, also when the program was started anew") {
    Served served(some_malt);
    auto fields = hidden_fields(served.get("/lots/PAM-1").body, "discard");
    fields["AMOUNT"] = "1kg";
    fields["reason"] = "spilled";
    CHECK(holds(served.post("/do/discard", encoded(fields)).body, "booked as entry 3"));
    const Got again = served.post("/do/discard", encoded(fields));
    CHECK(again.status == 200);
    CHECK(holds(again.body, "has booked entry 3"));
    served.kill(SIGKILL);
    served.start();
    CHECK(served.post("/do/discard", encoded(fields)).status == 403); // the session has ended
    auto anew = hidden_fields(served.get("/lots/PAM-1").body, "discard");
    fields["token"] = anew["token"];
    CHECK(holds(served.post("/do/discard", encoded(fields)).body, "has booked entry 3"));
    CHECK(holds(served.run("stock --csv"), "99"));
    CHECK(holds(served.run("history --csv"), "\n3,"));
    CHECK(!holds(served.run("history --csv"), "\n4,"));
}

TEST_CASE("what was typed into a form of a program that has gone stands in it again, with its number") {
    Served served(some_malt);
    auto fields = hidden_fields(served.get("/lots/PAM-1").body, "discard");
    fields["AMOUNT"] = "1kg";
    fields["reason"] = "a torn sack";
    served.kill(SIGKILL);
    served.start();
    (void)served.get("/");
    const Got got = served.post("/do/discard", encoded(fields));
    CHECK(got.status == 403);
    CHECK(holds(got.body, "a torn sack"));
    auto again = hidden_fields(got.body, "discard");
    CHECK(again["form"] == fields["form"]);
    again["AMOUNT"] = "1kg";
    again["reason"] = "a torn sack";
    CHECK(holds(served.post("/do/discard", encoded(again)).body, "booked as entry 3"));
}

TEST_CASE("who booked meanwhile is told, and each page sees the other's entries") {
    Served served({"init", "receive 'pale ale malt' 100kg --lot PAM-1", "receive 'wheat malt' 20kg --lot WM-1"});
    auto one = hidden_fields(served.get("/lots/PAM-1").body, "discard");
    auto two = hidden_fields(served.get("/lots/WM-1").body, "count");
    one["AMOUNT"] = "2kg";
    one["reason"] = "spilled";
    CHECK(served.post("/do/discard", encoded(one)).status == 200);
    two["AMOUNT"] = "19kg";
    two["reason"] = "weighed";
    const Got got = served.post("/do/count", encoded(two));
    CHECK(holds(got.body, "Booked by others since this page was drawn"));
    CHECK(holds(got.body, "discarded 2 kg of "));
    const Got changes = served.get("/changes?since=3");
    CHECK(holds(changes.body, "\"newest\":5") + holds(changes.body, "\"newest\": 5") == 1);
    CHECK(holds(changes.body, "discarded 2 kg"));
}

TEST_CASE("a page that was drawn before shows what was booked since, by a page or a command line") {
    Served served(some_malt);
    CHECK(holds(served.get("/stock").body, "100 kg"));
    CHECK(holds(served.get("/stock").body, "100 kg"));
    (void)served.run("discard PAM-1 1kg --reason spilled");
    CHECK(holds(served.get("/stock").body, "99 kg"));
    CHECK(served.json("discard", R"({"LOT": "PAM-1", "AMOUNT": "2kg", "reason": "spilled"})").status == 200);
    CHECK(holds(served.get("/stock").body, "97 kg"));
}

TEST_CASE("clients that post at once beside a command line: each entry is there once") {
    Served served(some_malt);
    const int each = times("LOTWORT_POSTS", 25), clients = each > 25 ? 8 : 4;
    std::atomic<int> refused = 0;
    std::vector<std::thread> threads;
    for (int client = 0; client < clients; ++client)
        threads.emplace_back([&, client] {
            for (int i = 0; i < each; ++i) {
                const std::string reason = "no-" + std::to_string(client) + "-" + std::to_string(i);
                const std::string text = "POST /v1/discard HTTP/1.1\r\nConnection: close\r\nHost: 127.0.0.1:" +
                                         std::to_string(served.port()) +
                                         "\r\nContent-Type: application/json\r\nIdempotency-Key: " + key_of(client, i) +
                                         "\r\nContent-Length: " + std::to_string(discard(reason).size()) + "\r\n\r\n" +
                                         discard(reason);
                if (served.ask(text).status != 200) ++refused;
                if (i % 5 == 0 && served.ask(text).status != 200) ++refused; // a double tap
            }
        });
    for (int i = 0; i < 10; ++i) (void)served.run("discard PAM-1 1g --reason beside");
    for (auto& thread : threads) thread.join();
    CHECK(refused == 0);
    const auto all = reasons(served);
    CHECK(all.size() == static_cast<std::size_t>(clients * each));
    CHECK(std::set<std::string>(all.begin(), all.end()).size() == static_cast<std::size_t>(clients * each));
    CHECK(holds(served.run("verify"), "is sound"));
}

TEST_CASE("killed at any moment while four clients post: what was acknowledged is there, and nothing twice") {
    Served served(some_malt);
    std::mt19937 random(8017);
    std::set<std::string> acknowledged;
    int next = 0;
    for (int round = 0; round < times("LOTWORT_KILLS", 12); ++round) {
        std::vector<std::thread> threads;
        std::mutex mutex;
        std::set<std::string> now;
        for (int client = 0; client < 4; ++client)
            threads.emplace_back([&, client, first = next] {
                for (int i = 0; i < 6; ++i) {
                    const std::string reason = "no-" + std::to_string(client) + "-" + std::to_string(first + i);
                    const std::string body = discard(reason);
                    const std::string text =
                        "POST /v1/discard HTTP/1.1\r\nConnection: close\r\nHost: 127.0.0.1:" +
                        std::to_string(served.port()) +
                        "\r\nContent-Type: application/json\r\nIdempotency-Key: " + key_of(client, first + i) +
                        "\r\nContent-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body;
                    if (served.ask(text).status != 200) return;
                    const std::scoped_lock lock(mutex);
                    now.insert(reason);
                }
            });
        std::this_thread::sleep_for(std::chrono::milliseconds(random() % 60));
        served.kill(SIGKILL);
        for (auto& thread : threads) thread.join();
        acknowledged.insert(now.begin(), now.end());
        served.start();
        // the clients send again all that was on its way
        for (int client = 0; client < 4; ++client)
            for (int i = 0; i < 6; ++i) {
                const std::string reason = "no-" + std::to_string(client) + "-" + std::to_string(next + i);
                CHECK(served.json("discard", discard(reason), key_of(client, next + i)).status == 200);
                acknowledged.insert(reason);
            }
        next += 6;
    }
    const auto all = reasons(served);
    CHECK(all.size() == acknowledged.size());
    CHECK(std::set<std::string>(all.begin(), all.end()) == acknowledged);
    CHECK(holds(served.run("verify"), "is sound"));
}
