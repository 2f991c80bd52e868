// A recall: whatever was done with a lot, all that is made of it is found, held in one entry and named.
#include "brewery.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <random>
#include <set>

using namespace lotwort;
using namespace lotwort::test;

namespace {

void set_up(Brewery& b) {
    b.begin_pale(
        20, 4,
        {"\"pale ale malt\" 25kg --lot PAM-1", "\"pale ale malt\" 25kg --lot PAM-2", "\"ale yeast\" 2L --lot Y-1"});
}

std::set<std::string> found(const Json& traced, const char* list = "reached") {
    std::set<std::string> codes;
    for (const Json& one : traced[list])
        codes.insert(one.contains("lot") ? "lot " + one["lot"].get<std::string>()
                                         : "brew " + one["brew"].get<std::string>());
    return codes;
}

// From the exchange file, passed over until a pass finds nothing more.
std::set<std::string> reached_by(const Json& all, const std::string& lot) {
    std::set<std::string> reached{"lot " + lot};
    const auto list = [&](const char* name) { return all.contains(name) ? all[name] : Json::array({}); };
    const auto has = [&](const std::string& what, const Json& code) {
        return reached.contains(what + code.get<std::string>());
    };
    for (std::size_t before = 0; before != reached.size();) {
        before = reached.size();
        for (const Json& one : list("lots")) {
            bool of_it = one.contains("harvested_from") && has("brew ", one["harvested_from"]);
            if (one.contains("made_from"))
                for (const Json& source : one["made_from"]) of_it = of_it || has("lot ", source["lot"]);
            if (of_it) reached.insert("lot " + one["code"].get<std::string>());
        }
        for (const Json& brew : list("brews")) {
            const std::string code = "brew " + brew["code"].get<std::string>();
            if (brew.contains("additions"))
                for (const Json& addition : brew["additions"])
                    if (has("lot ", addition["lot"])) reached.insert(code);
            if (brew.contains("fermented_with")) { // one beer
                if (has("brew ", brew["fermented_with"])) reached.insert(code);
                if (reached.contains(code)) reached.insert("brew " + brew["fermented_with"].get<std::string>());
            }
        }
    }
    reached.erase("lot " + lot);
    return reached;
}

} // namespace

TEST_CASE("the blend of a recalled lot is held too, with the yeast of its brews, in one entry") {
    Brewery b;
    set_up(b);
    b.done("lot PAM-1 --split 5kg --as PART");
    b.done("lot PAM-2 --merge PAM-1 --as BLEND");
    b.done("brew --recipe pale --add BLEND=4kg --add Y-1=0.5L@fermenter");
    b.done("receive \"ale yeast\" 1L --from-brew B1 --lot Y-2");
    b.done("brew --recipe pale --add PART=4kg");
    b.done("receive \"pale ale malt\" 25kg --lot OTHER");
    b.done("brew --recipe pale --add OTHER=4kg --add Y-2=0.5L@fermenter");
    b.done("brew --recipe pale --add OTHER=4kg");
    const Json traced = b.json("trace PAM-1");
    CHECK(found(traced) == std::set<std::string>{"lot PART", "lot BLEND", "brew B1", "brew B2", "lot Y-2", "brew B3"});
    const std::string said = b.done("trace PAM-1 --hold \"supplier recalls it\"");
    CHECK(said.find("All that is made of it: 3 lots and 3 brews\n") != std::string::npos);
    CHECK(said.find("put PAM-1, PART, BLEND, Y-2 on hold: supplier recalls it") != std::string::npos);
    for (const char* lot : {"PART", "BLEND", "Y-2"})
        CHECK(b.json(fmt::format("lot {}", lot))["lot"]["held"] == "supplier recalls it");
    CHECK(b.run("brew --recipe pale --add BLEND=4kg").error.find("on hold") != std::string::npos);
    CHECK(b.json("history --last 1")["entries"][0]["kind"] == "hold");
    b.done("trace PAM-1 --release");
    for (const char* lot : {"PAM-1", "PART", "BLEND", "Y-2"})
        CHECK(b.json(fmt::format("lot {}", lot))["lot"]["held"].is_null());
    b.check_round_trip();
}

TEST_CASE("a lot that is on hold for a reason of its own keeps it through a recall") {
    Brewery b;
    set_up(b);
    b.done("lot PAM-1 --split 5kg --as PART");
    b.done("trace PART --hold weevils");
    b.done("trace PAM-1 --hold recalled");
    CHECK(b.json("lot PART")["lot"]["held"] == "weevils");
    b.done("trace PAM-1 --release");
    CHECK(b.json("lot PART")["lot"]["held"] == "weevils");
}

TEST_CASE("beer of harvested yeast is made of what went into that brew before the harvest, and not of later sugar") {
    Brewery b;
    set_up(b);
    b.done("receive \"table sugar\" 1kg --lot TS-1");
    b.done("receive \"pale ale malt\" 1kg --lot LATE");
    b.done("brew --recipe pale --add PAM-1=4kg --add Y-1=0.5L@fermenter");
    b.today("2026-03-20");
    b.done("receive \"ale yeast\" 1L --from-brew B1 --lot Y-2");
    b.done("brew --recipe pale --add PAM-2=4kg --add Y-2=0.5L@fermenter");
    b.today("2026-03-24");
    b.done("package B1 20 bottles 0.5L --prime TS-1=30g");
    b.done("brew B1 --add LATE=100g@fermenter");
    const auto of = found(b.json("trace B2"), "made_of");
    CHECK(of == std::set<std::string>{"lot PAM-2", "lot Y-2", "brew B1", "lot PAM-1", "lot Y-1"});
    CHECK(found(b.json("trace B1"), "made_of").contains("lot TS-1"));
    CHECK(found(b.json("trace B1"), "made_of").contains("lot LATE"));
}

TEST_CASE("a brew that gave all of a lot back has none of it") {
    Brewery b;
    set_up(b);
    b.done("brew --recipe pale --add PAM-1=4kg");
    b.done("brew B1 --abandon \"the pump burst\"");
    CHECK(b.json("trace PAM-1")["reached"].empty());
}

TEST_CASE("whatever was done with its lots, a brewery finds all that was made of one, and holds it") {
    for (unsigned seed = 1; seed <= 4; ++seed) {
        Brewery b;
        set_up(b);
        std::mt19937 random(seed);
        const auto upto = [&](std::size_t n) { return std::uniform_int_distribution<std::size_t>(0, n)(random); };
        for (int i = 0; i < 30; ++i) {
            const Json lots = b.json("stock --lots")["lots"];
            std::vector<std::string> malts, yeasts;
            for (const Json& lot : lots) (lot["kind"] == "malt" ? malts : yeasts).push_back(lot["lot"]);
            const auto malt = [&] { return malts[upto(malts.size() - 1)]; };
            const auto what = upto(5);
            std::string line;
            if (what == 0 || malts.size() < 2)
                line = "receive \"pale ale malt\" 25kg";
            else if (what == 1)
                line = fmt::format("lot {} --split 1kg --split 2kg", malt());
            else if (what == 2)
                line = fmt::format("lot {} --merge {}", malt(), malt());
            else if (what == 3)
                line = fmt::format("receive \"ale yeast\" 1L --from-brew B{}", 1 + upto(6));
            else
                line = fmt::format("brew --recipe pale --add {}=500g --add {}=0.1L@fermenter{}", malt(),
                                   yeasts[upto(yeasts.size() - 1)],
                                   upto(3) == 0 ? fmt::format(" --into B{}", 1 + upto(4)) : "");
            (void)b.run(line);
        }
        const Json all = Json::parse(b.done("export"));
        for (const Json& lot : all["lots"]) {
            const std::string code = lot["code"];
            CHECK_MESSAGE(found(b.json("trace " + code)) == reached_by(all, code), seed, code);
        }
        const std::set<std::string> reached = reached_by(all, "PAM-1");
        b.done("trace PAM-1 --hold recalled");
        for (const Json& lot : Json::parse(b.done("export"))["lots"]) {
            const std::string code = lot["code"];
            CHECK(lot.contains("held") == (code == "PAM-1" || reached.contains("lot " + code)));
        }
    }
}
