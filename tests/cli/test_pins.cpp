// Lots pinned by the brewer, typed: to a plan, to a plan that is moved, to a brew without a plan.
#include "brewery.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

void stocked(const Brewery& b) {
    b.done("init");
    b.done("receive \"pale ale malt\" 25kg --lot A --best-before 2026-12-01");
    b.done("receive \"pale ale malt\" 25kg --lot B --best-before 2027-12-01");
    b.done("brewhouse add garage 20L");
    b.write("bitter.toml", "name = \"bitter\"\nvolume_l = 20\nboil_minutes = 60\n[[grist]]\nitem = \"pale ale malt\"\n"
                           "mass_kg = 4.0\n");
    b.done("recipe add FOLDER/bitter.toml");
}

double taken(const Json& rows, const char* lot) {
    double mass = 0.0;
    for (const auto& row : rows)
        if (row["lot"] == lot) mass += row["mass_kg"].get<double>();
    return mass;
}

} // namespace

TEST_CASE("a plan reserves the lots it is told to, and the brew deducts them") {
    const Brewery b;
    stocked(b);
    CHECK(taken(b.json("plan bitter -n")["reserved"], "A") == 4.0); // unless told, the one that spoils first
    const Json plan = b.json("plan bitter --pin B=1.5kg");
    CHECK(taken(plan["reserved"], "B") == 1.5);
    CHECK(taken(plan["reserved"], "A") == 2.5);
    CHECK(b.run("brew P1 --pin B").error == "P1 has reserved its lots already: --pin comes too late");
    const Json brew = b.json("brew P1 --weighed B=1.4kg")["brew"];
    CHECK(taken(brew["additions"], "B") == 1.4);
    CHECK(b.json("lot B")["on_hand_kg"] == 23.6);
}

TEST_CASE("a pinned lot of another strength is all that the plan needs") {
    Brewery b;
    b.begin({"\"pale ale malt\" 25kg --lot PAM-1", "\"hop A\" 500g --alpha 10% --lot HA-1",
             "\"hop A\" 500g --alpha 12% --lot HA-2"});
    b.done("recipe add pale 23L --malt \"pale ale malt=4.5kg\" --hop \"hop A=30IBU@boil,60\"");
    b.done("plan pale --on 2026-03-20 --pin HA-2");
    const Json shown = b.json("plan P1");
    CHECK(shown["shortages"].empty());
    CHECK(b.done("plan P1").find("Everything is there.") != std::string::npos);
    CHECK(b.json("plan")["shortages"].empty());
    CHECK(b.json("plan")["not_reserved"].is_null());
    b.done("brew P1");
}

TEST_CASE("a plan that is moved chooses anew, with pins of its own") {
    const Brewery b;
    stocked(b);
    b.done("plan bitter --pin B");
    const Json moved = b.json("plan P1 --move 2026-03-20 --pin B=3kg --pin A");
    CHECK(taken(moved["reserved"], "B") == 3.0);
    CHECK(taken(moved["reserved"], "A") == 1.0);
}

TEST_CASE("a brew without a plan takes the lots it is told to") {
    const Brewery b;
    stocked(b);
    CHECK(taken(b.json("brew --recipe bitter --pin A=0kg")["brew"]["additions"], "B") == 4.0);
}

TEST_CASE("a lot whose code holds an equals sign can be named") {
    Brewery b;
    b.begin({"\"pale ale malt\" 25kg --lot A=B"});
    b.done("recipe add pale 23L --malt \"pale ale malt=4.5kg\"");
    b.done("plan pale --on 2026-03-20 --pin A=B");
    b.done("plan pale --on 2026-03-21 --pin A=B=4.5kg");
    b.done("brew P1 --weighed A=B=4.4kg");
    CHECK(b.json("lot A=B")["on_hand_kg"] == 20.6);
}

TEST_CASE("pins that say nothing sensible") {
    const Brewery b;
    stocked(b);
    CHECK(b.run("plan bitter --pin C").error == "--pin: there is no lot `C`");
    CHECK(b.run("plan bitter --pin A --pin A=1kg").error == "--pin names A twice");
    CHECK(b.run("plan bitter --pin A=1L").status == 1);
    CHECK(b.run("plan bitter --pin A=30kg").status == 3);
}
