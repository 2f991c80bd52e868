// The stock on a day gone by is what the verbs said on that day.
#include "brewery.hpp"
#include <fmt/format.h>
#include <map>
#include <random>
#include <sstream>

using namespace lotwort;
using namespace lotwort::test;

namespace {

void set_up(Brewery& b) {
    b.begin_pale(20, 2,
                 {"\"pale ale malt\" 25kg --lot PAM-1 --price 32.50",
                  "\"bittering hop\" 500g --lot BH-1 --alpha 10% --analysed 2026-01-01 --price 14"});
}

// The lots as text, and what they are worth; what is due and what lacks is of today alone.
std::string as_told(const Brewery& b, const std::string& line) {
    const Json said = b.json(line);
    std::ostringstream text;
    text << said["lots"] << said["value"] << said["on"];
    return text.str();
}

} // namespace

TEST_CASE("stock on a day is of that day: on hand, promised, on hold and worth") {
    Brewery b("2026-03-01");
    set_up(b);
    b.done("plan pale --on 2026-03-12");
    b.today("2026-03-05");
    b.done("brew P1");
    b.done("trace BH-1 --hold cheesy");
    b.today("2026-03-09");
    b.done("discard PAM-1 3kg --reason wet");
    b.done("trace BH-1 --release");
    const Json first = b.json("stock --lots --on 2026-03-01"), fifth = b.json("stock --lots --on 2026-03-05");
    CHECK(first["on"] == "2026-03-01");
    CHECK(first["lots"][0]["on_hand_kg"] == 25);
    CHECK(first["lots"][0]["promised_kg"] == 2);
    CHECK(first["lots"][1]["held"].is_null());
    CHECK(first["value"] == 46.5);
    CHECK(fifth["lots"][0]["on_hand_kg"] == 23);
    CHECK(fifth["lots"][0]["promised_kg"] == 0);
    CHECK(fifth["lots"][1]["held"] == "cheesy");
    CHECK(fifth["says"][0].get<std::string>().starts_with("as it was at the end of 2026-03-05"));
    CHECK(b.json("stock --lots")["says"].is_null());
    CHECK(b.json("stock --lots --on 2026-03-09")["lots"][0]["on_hand_kg"] == 20);
    CHECK(b.json("lot PAM-1 --on 2026-03-05")["on_hand_kg"] == 23);
    CHECK(b.json("lot PAM-1 --on 2026-03-05")["movements"].size() == 2);
    CHECK(b.json("stock --on 2026-02-28")["items"].empty());
    CHECK(b.run("stock --on 2026-03-10").error == "2026-03-10 has not come yet");
}

TEST_CASE("the sheets of a count are of the day that stands on them") {
    Brewery b("2026-03-01");
    set_up(b);
    b.today("2026-03-09");
    b.done("discard PAM-1 3kg --reason wet");
    b.today("2026-03-05");
    CHECK(b.done("count --sheet").find("25 kg") != std::string::npos);
    const std::string page = b.done("report count-sheet");
    CHECK(page.find("25 kg") != std::string::npos);
    CHECK(page.find("22 kg") == std::string::npos);
}

TEST_CASE("a clock that lags behind the ledger is believed by stock, and by nothing that plans ahead") {
    Brewery b("2026-03-05");
    set_up(b);
    b.done("discard PAM-1 5kg --reason wet");
    b.today("2026-03-04");
    CHECK(b.json("plan pale --on 2026-03-20 --dry-run")["shortages"][0]["missing_kg"] == 2);
    CHECK(b.json("stock")["items"].empty()); // nothing had come
    for (const char* line : {"plan", "buy", "substitute", "report"}) {
        const Said said = b.run(line);
        CHECK_MESSAGE(said.error == "today is 2026-03-04, and the ledger knows what was booked for 2026-03-05 already",
                      line);
        CHECK(said.hint.ends_with("lotwort stock --on 2026-03-04"));
    }
    // a slip of the clock that was taken back is forgotten
    b.today("2027-03-05");
    b.done("discard PAM-1 1kg --reason wet");
    b.done("reverse " + std::to_string(b.json("history --last 1")["entries"][0]["number"].get<int>()));
    b.today("2026-03-06");
    CHECK(b.json("stock")["items"][0]["on_hand_kg"] == 20);
    CHECK(b.json("stock")["says"].is_null());
}

TEST_CASE("whatever was booked, each day's stock is told later as it was told then") {
    for (unsigned seed = 1; seed <= 3; ++seed) {
        Brewery b("2026-03-01");
        set_up(b);
        std::mt19937 random(seed);
        const auto upto = [&](int n) { return std::uniform_int_distribution<int>(0, n)(random); };
        std::map<std::string, std::string> then;
        for (int day = 1; day <= 8; ++day) {
            const std::string today = fmt::format("2026-03-{:02}", day);
            b.today(today.c_str());
            for (int i = upto(4); i > 0; --i) {
                const Json lots = b.json("stock --lots")["lots"];
                const std::string lot = lots[static_cast<std::size_t>(upto(static_cast<int>(lots.size()) - 1))]["lot"];
                const char* lines[] = {"receive \"pale ale malt\" 11kg --price 9.99",
                                       "plan pale --on 2026-03-20",
                                       "brew P{1} --as-reserved",
                                       "plan P{1} --cancel \"no time\"",
                                       "discard {0} 700g --reason wet",
                                       "trace {0} --hold weevils",
                                       "trace {0} --release",
                                       "lot {0} --split 1kg",
                                       "plan P{1} --move 2026-03-21"};
                (void)b.run(fmt::format(fmt::runtime(lines[upto(8)]), lot, 1 + upto(3)));
            }
            then[today] = as_told(b, "stock --lots --all");
        }
        b.today("2026-03-31");
        for (const auto& [day, told] : then) CHECK(as_told(b, "stock --lots --all --on " + day) == told);
    }
}
