// A month's money closes to the last hundredth, whatever was done with the lots: as the verbs tell it, added up.
#include "brewery.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <random>

using namespace lotwort;
using namespace lotwort::test;

namespace {

std::int64_t hundredths(const Json& money) {
    return std::llround(money.get<double>() * 100.0);
}

// What was bought less what went into brews and out of the store otherwise.
std::int64_t what_should_be_left(const Brewery& b) {
    const Json all = Json::parse(b.done("export"));
    std::int64_t sum = 0;
    for (const Json& lot : all["lots"]) {
        if (!lot.contains("made_from")) sum += hundredths(lot["price"]);
        for (const Json& movement : b.json("lot " + lot["code"].get<std::string>())["movements"]) {
            const auto kind = movement["kind"];
            if ((kind == "count" || kind == "discard" || kind == "return") && movement.contains("value_change"))
                sum += hundredths(movement["value_change"]);
        }
    }
    if (all.contains("brews"))
        for (const Json& brew : all["brews"])
            if (brew.contains("additions"))
                sum -= hundredths(b.json("brew " + brew["code"].get<std::string>())["cost"]);
    return sum;
}

// Does something with some lot; what cannot be done is refused.
void step(const Brewery& b, std::mt19937& random, int brews) {
    const auto upto = [&](int n) { return std::uniform_int_distribution<int>(0, n)(random); };
    const Json lots = b.json("stock --lots")["lots"];
    const auto any = [&] {
        return lots[static_cast<std::size_t>(upto(static_cast<int>(lots.size()) - 1))]["lot"].get<std::string>();
    };
    const auto some = [&] { return fmt::format("{}g", 37 + upto(900)); };
    const int what = lots.size() < 2 ? 0 : upto(9);
    std::string line;
    if (what == 0)
        line = fmt::format("receive \"pale ale malt\" {}g --price {}.{:02} --sure", 700 + upto(3000), upto(20), upto(99));
    else if (what <= 3)
        line = fmt::format("brew --recipe pale --add {}={} --add {}={}", any(), some(), any(), some());
    else if (what == 4)
        line = fmt::format("discard {} {} --reason wet", any(), some());
    else if (what == 5)
        line = fmt::format("count {} {} --reason counted", any(), some());
    else if (what == 6)
        line = fmt::format("lot {} --split {} --split {}", any(), some(), some());
    else if (what == 7)
        line = fmt::format("lot {} --merge {}", any(), any());
    else if (what == 8)
        line = fmt::format("brew B{} --abandon \"the pump burst\"", 1 + upto(brews));
    else
        line = fmt::format("reverse {}", b.json("history --last 1")["entries"][0]["number"].get<int>() - upto(6));
    (void)b.run(line);
}

} // namespace

TEST_CASE("what was bought is what was brewed, lost, found and given back, and what is in store") {
    for (unsigned seed = 1; seed <= 4; ++seed) {
        Brewery b("2026-03-01");
        std::mt19937 random(seed);
        b.done("init");
        b.done("brewhouse add garage 25L");
        b.write("pale.toml", "name = \"pale\"\nvolume_l = 20\n[[grist]]\nitem = \"pale ale malt\"\nmass_kg = 4\n");
        b.done("receive \"pale ale malt\" 3kg --price 10.00");
        b.done("receive \"pale ale malt\" 700g --price 0.01 --sure");
        b.done("recipe add FOLDER/pale.toml");
        for (int i = 0; i < 40; ++i) {
            if (i % 8 == 7) b.today(fmt::format("2026-03-{:02}", 2 + i / 8).c_str());
            step(b, random, i / 3);
        }
        CHECK(what_should_be_left(b) == hundredths(b.json("stock --lots --all")["value"]));
        CHECK(what_should_be_left(b) == hundredths(b.json("stock")["value"]));
        CHECK(b.json("verify")["sound"] == true);
    }
}

TEST_CASE("a sack shared out in three costs what it cost") {
    Brewery b;
    b.done("init");
    b.done("receive \"pale ale malt\" 3kg --lot A --price 10.00");
    b.done("lot A --split 1kg --split 1kg");
    CHECK(b.json("lot PAM-1")["value"] == 3.33);
    CHECK(b.json("lot PAM-2")["value"] == 3.34);
    CHECK(b.json("lot A")["value"] == 3.33);
    CHECK(b.json("stock")["value"] == 10);
    b.done("lot A --merge PAM-1 --merge PAM-2");
    CHECK(b.json("lot PAM-3")["lot"]["price"] == 10);
}
