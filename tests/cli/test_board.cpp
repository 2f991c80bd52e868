// The board on the command line: a 10 hL house, its tanks, its kettle's day and its yeast.
#include "brewery.hpp"
#include <fmt/format.h>

using namespace lotwort::test;

namespace {

// Today is 2026-03-10.
struct House : Brewery {
    House() : Brewery("2026-03-10") {
        done("init");
        done("brewhouse add copper 10hL --brews-per-day 1");
        done("receive \"pale ale malt\" 3000kg --sure");
        done("receive \"ale yeast\" 20kg --sure");
        done("recipe add pale 1000L --malt \"pale ale malt=190kg\" --yeast \"ale yeast=500g\" --sure");
        done("recipe add strong 1000L --malt \"pale ale malt=290kg\" --yeast \"ale yeast=900g\" --tank-days 30days "
             "--harvest-days 10days --sure");
        done("tank add FV1 20hL");
        done("tank add FV2 10hL");
    }
    [[nodiscard]] bool says(const std::string& line, const std::string& words) const {
        return done(line).find(words) != std::string::npos;
    }
    [[nodiscard]] Json tank(const std::string& name) const {
        for (const Json& one : json("tank")["tanks"])
            if (one["tank"] == name) return one;
        return {};
    }
    // Codes that use it, today's and later.
    [[nodiscard]] std::vector<std::string> uses(const std::string& name) const {
        std::vector<std::string> codes;
        for (const Json& use : tank(name)["uses"]) codes.push_back(use["by"]);
        return codes;
    }
};

using Codes = std::vector<std::string>;

} // namespace

TEST_CASE("a plan for a tank that is taken names the day and the tank that are free, and either command helps") {
    const House b;
    b.done("plan strong --on 2026-03-12 --into FV2");
    const std::string said = b.done("plan pale --on 2026-03-20 --into FV2");
    CHECK(said.find("P2: FV2 is for P1 from 2026-03-12 till 2026-04-11\n") != std::string::npos);
    CHECK(said.find("it fits on 2026-04-11: lotwort plan P2 --move 2026-04-11\n") != std::string::npos);
    CHECK(said.find("FV1 is free: lotwort plan P2 --into FV1\n") != std::string::npos);
    CHECK(b.says("plan", "P2: FV2 is for P1"));
    CHECK_FALSE(b.says("plan P2 --move 2026-04-11", "P2: FV2"));
    b.done("plan P2 --move 2026-03-20");
    const auto reserved = b.json("plan")["plans"][1]["reserved"];
    CHECK_FALSE(b.says("plan P2 --into FV1", "P2: FV"));
    CHECK(b.json("plan")["plans"][1]["reserved"] == reserved); // another tank, the same sacks
    CHECK_FALSE(b.says("plan", "P2: FV"));
}

TEST_CASE("a tank is filled by the brew of its plan, twice by a double batch, and is free once that is packaged") {
    const House b;
    b.done("plan pale --on 2026-03-10 --into FV1");
    b.done("plan pale --on 2026-03-11 --into FV1");
    b.done("brew P1");
    CHECK(b.uses("FV1") == Codes{"B1", "P2"});
    CHECK(b.says("plan --month 2026-03 --csv", "FV1 is free of B1"));
    CHECK_FALSE(b.says("plan", "P2: FV1"));
    b.done("plan P2 --move 2026-03-10");
    CHECK(b.json("brew P2")["brew"]["fermented_with"] == "B1");
    CHECK(b.uses("FV1") == Codes{"B1", "B2"});
    b.done("measure B2 fermenter 2000L 1.048");
    b.done("package B1 30 kegs 30L --sure");
    CHECK(b.tank("FV1")["in_use"] == true); // half is left
    b.done("package B1 33 kegs 30L --sure");
    CHECK(b.tank("FV1")["in_use"] == false);
    CHECK(b.tank("FV1")["emptied"] == "2026-03-10");
    CHECK(b.says("tank", "free, to be cleaned  since 2026-03-10"));
    b.done("tank clean FV1");
    CHECK(b.tank("FV1")["to_be_cleaned"] == false);
}

TEST_CASE("beer is moved from tank to tank, and taking the entry back moves it back") {
    const House b;
    b.done("tank add BT1 20hL --bright");
    b.done("brew --recipe pale --into FV2");
    CHECK(b.uses("FV2") == Codes{"B1"});
    CHECK(b.says("tank fill BT1 B1 --till 2026-03-17", "moved B1 from FV2 to BT1"));
    CHECK(b.uses("FV2").empty());
    CHECK(b.tank("BT1")["uses"][0]["till"] == "2026-03-17");
    b.done("reverse 11");
    CHECK(b.uses("FV2") == Codes{"B1"});
    CHECK(b.uses("BT1").empty());
    b.done("verify");
}

TEST_CASE("yeast is cropped of a planned brew: nothing lacks, and once it is in stock it is what is pitched") {
    const House b;
    b.done("discard AY-1 all --reason \"too old\"");
    b.done("receive \"ale yeast\" 500g");
    b.done("plan pale --on 2026-03-10");
    CHECK(b.says("plan pale --on 2026-03-14 --yeast-from P1", "P2: the yeast of P1 is there on 2026-03-17"));
    CHECK(
        b.says("plan P2 --move 2026-03-17", "Yeast of P1, generation 1: there on 2026-03-17*, good till 2026-03-31."));
    CHECK(b.json("plan")["shortages"].empty());
    CHECK(b.says("brew P1", "booked"));
    CHECK(b.json("plan")["plans"][0]["yeast_of_brew"] == "B1");
    CHECK(b.says("receive \"ale yeast\" 15L --from-brew B1", "P2 takes"));
    const Json plan = b.json("plan")["plans"][0];
    CHECK(plan["reserved"].back()["lot"] == "AY-3");
    CHECK(b.json("plan")["board"][0]["generation"] == 1);
    CHECK(b.json("plan")["shortages"].empty());
}

TEST_CASE("a plan that is moved says which other plan now waits for its yeast") {
    const House b;
    b.done("plan pale --on 2026-03-10");
    b.done("plan strong --on 2026-03-18 --yeast-from P1");
    const std::string said = b.done("plan P1 --move 2026-03-16");
    CHECK(said.find("P2: the yeast of P1 is there on 2026-03-23\n") != std::string::npos);
    CHECK(said.find("lotwort plan P2 --move 2026-03-23\n") != std::string::npos);
    b.done("plan P2 --yeast-from none");
    CHECK_FALSE(b.says("plan", "the yeast of P1"));
}
