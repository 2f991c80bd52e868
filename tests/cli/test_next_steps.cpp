// What `lotwort` alone says the ledger needs.
#include "brewery.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

bool asks(const Brewery& b, const std::string& words) {
    return b.done("").find(words) != std::string::npos;
}

} // namespace

TEST_CASE("without a ledger it says how to make one, and what is no ledger does not hide the verbs") {
    const Brewery b;
    CHECK(asks(b, "Type next: lotwort init"));
    b.write("ledger.lotwort", "no ledger");
    CHECK(asks(b, "The ledger cannot be looked at"));
    CHECK(asks(b, "reconcile"));
}

TEST_CASE("an empty ledger is led to its first delivery, then to a brewhouse, a recipe and a plan") {
    const Brewery b;
    b.done("init");
    CHECK(asks(b, "lotwort receive"));
    b.done("receive \"pale ale malt\" 25kg --lot PAM-1");
    CHECK(asks(b, "lotwort brewhouse add"));
    b.done("brewhouse add garage 23L");
    CHECK(asks(b, "lotwort recipe add"));
    b.write("pale.toml", "name = \"pale\"\nvolume_l = 20\ngrist = [{item = \"pale ale malt\", mass_kg = 4.5}]\n");
    b.done("recipe add FOLDER/pale.toml");
    CHECK(asks(b, "lotwort plan pale"));
}

TEST_CASE("the first recipe that is proposed is of a base malt") {
    const Brewery b;
    b.done("init");
    b.done("receive \"crystal malt\" 5kg");
    b.done("receive \"pale ale malt\" 25kg");
    b.done("brewhouse add garage 23L");
    CHECK(asks(b, "--malt \"pale ale malt=100%\""));
}

TEST_CASE("plans due, brews unmeasured, stock running out, counts overdue") {
    Brewery b("2026-03-01");
    b.done("init");
    b.done("receive \"pale ale malt\" 10kg --lot PAM-1 --best-before 2026-04-20");
    b.done("brewhouse add garage 23L");
    b.write("pale.toml", "name = \"pale\"\nvolume_l = 20\ngrist = [{item = \"pale ale malt\", mass_kg = 4.5}]\n");
    b.done("recipe add FOLDER/pale.toml");
    b.done("plan pale --on 2026-03-03");
    CHECK_FALSE(asks(b, "is to be brewed"));
    b.today("2026-03-03");
    CHECK(asks(b, "P1 is to be brewed today: pale"));
    b.today("2026-03-04");
    CHECK(asks(b, "P1 is to be brewed, was planned for 2026-03-03"));
    b.done("brew P1");
    CHECK(asks(b, "B1 of 2026-03-04 has no readings"));
    b.done("measure B1 kettle-full 24L@20C 1.040@20C");
    CHECK(asks(b, "B1 of 2026-03-04 cannot be balanced well"));
    b.done("measure B1 fermenter 20L 1.045");
    CHECK_FALSE(asks(b, "B1 of"));
    // 4.5 kg in 90 days are 0.05 kg a day; 5.5 kg are left: 110 days
    CHECK_FALSE(asks(b, "runs out"));
    b.done("plan pale --on 2026-03-10");
    b.done("brew P2");
    b.done("measure B2 fermenter 20L 1.045");
    // 9 kg in 90 days, 1 kg left: ten days
    CHECK(asks(b, "pale ale malt runs out about 2026-03-14 at the use of late: 1 kg free"));
    b.done("plan pale --on 2026-03-15");
    CHECK(asks(b, "P3 of 2026-03-15 lacks 3.5 kg of pale ale malt"));
    CHECK(asks(b, "nothing of pale ale malt is free"));
    CHECK_FALSE(asks(b, "counted"));
    b.today("2026-04-21");
    CHECK(asks(b, "lot PAM-1 is past its best before"));
    CHECK(asks(b, "nothing has been counted since the first delivery, on 2026-03-01"));
    b.done("count PAM-1 1kg");
    CHECK_FALSE(asks(b, "counted"));
    b.today("2026-05-22"); // 31 days on
    CHECK(asks(b, "the last count was on 2026-04-21"));
}
