// A value that was written down wrong is put right in one command: what was booked stays, and an equal and opposite
// word of the ledger stands beside it.
#include "brewery.hpp"
#include "near.hpp"
#include <doctest/doctest.h>

using namespace lotwort::test;

namespace {

// B1 with the fermenter's gravity written down as 1.064 for 1.046, beside a volume that is right.
struct Misread : Brewery {
    Misread() : Brewery("2026-03-10") {
        begin({"\"pale ale malt\" 25kg --lot PAM-1"});
        put_recipe("pale", "{item = \"pale ale malt\", mass_kg = 4.5}", "");
        (void)done("brew --recipe pale --add PAM-1=4.5kg");
        (void)done("measure B1 kettle-full 28L@95C 1.040@20C fermenter 23L@20C 1.064@20C");
    }
    // The readings that count, as they are listed.
    [[nodiscard]] std::string listed() const { return done("measure B1"); }
};

} // namespace

TEST_CASE("measure: a gravity is corrected in one command, and the volume beside it stands") {
    const Misread b;
    const std::string said = b.done("measure B1 --correct r2 gravity=1.046@20C");
    CHECK(said.find("corrected r2 of B1 by r3: gravity=1.046@20C") != std::string::npos);
    const auto readings = b.json("measure B1")["readings"];
    CHECK(readings[1]["reading"]["id"] == "r2");
    CHECK(readings[1]["reading"]["set_aside"] == "corrected by r3");
    CHECK(readings[2]["reading"]["id"] == "r3");
    const auto r3 = b.listed();
    CHECK(r3.find("1.0460") != std::string::npos);
    CHECK(b.done("reconcile B1").find("contradict") == std::string::npos);
    CHECK(b.done("history --brew B1").find("corrected r2 of B1 by r3") != std::string::npos);
    CHECK(b.run("verify").status == 0);
    b.check_round_trip();
}

TEST_CASE("measure: the value alone says which it is, and several go in one command") {
    const Misread b;
    (void)b.done("measure B1 --correct r2 22.5L@20C gravity=1.046");
    const auto r3 = b.listed();
    CHECK(r3.find("22.5 L") != std::string::npos);
    CHECK(r3.find("1.0460") != std::string::npos);
}

TEST_CASE("measure: one value is set aside, and its neighbour goes on counting") {
    const Misread b;
    const std::string said = b.done("measure B1 --set-aside r2.gravity --reason \"digits swapped\"");
    CHECK(said.find("set r2.gravity of B1 aside, the rest is r3") != std::string::npos);
    const auto readings = b.json("measure B1")["readings"];
    CHECK(readings[1]["reading"]["set_aside"] == "digits swapped");
    CHECK(readings[2]["reading"]["volume_l"].get<double>() == near(23.0, 1e-9));
    CHECK(b.run("verify").status == 0);
    b.check_round_trip();
}

TEST_CASE("measure: what was mended is as it was once its entry is taken back") {
    const Misread b;
    const std::string before = b.listed();
    const std::string said = b.done("measure B1 --correct r2 gravity=1.046@20C");
    const Said again = b.run("measure B1 --correct r2 gravity=1.047@20C");
    CHECK(again.status == 1);
    CHECK(again.error == "r2 is set aside already: corrected by r3");
    const std::string hint = again.hint;
    const std::string entry = hint.substr(hint.rfind(' ') + 1);
    (void)b.done("reverse " + entry);
    CHECK(b.listed() == before);
}

namespace {

// B1 with 14.5 kg of malt written down for 4.5 kg, and readings booked upon it.
struct Misweighed : Brewery {
    Misweighed() : Brewery("2026-03-10") {
        begin({"\"pale ale malt\" 25kg --lot PAM-1", "\"wheat malt\" 5kg --lot WM-1",
               "Fuggle 100g --kind hop --lot FUG-1"});
        put_recipe("pale", "{item = \"pale ale malt\", mass_kg = 4.5}", "");
        (void)done("brew --recipe pale --add PAM-1=14.5kg --add WM-1=0.2kg --add FUG-1=20g@boil,60 "
                   "--add FUG-1=20g@boil,10 --sure");
        (void)done("measure B1 kettle-full 28L@95C 1.040@20C fermenter 23L@20C 1.046@20C");
    }
};

} // namespace

TEST_CASE("brew: a wrong weight is corrected in one command, and the readings stand") {
    const Misweighed b;
    const Said said = b.run("brew B1 --correct PAM-1=4.5kg");
    CHECK(said.status == 0);
    CHECK(said.error == "");
    CHECK(b.done("brew B1").find("4.5 kg") != std::string::npos);
    CHECK(b.done("measure B1").find("1.0400") != std::string::npos);
    CHECK(b.done("lot PAM-1").find("20.5 kg") != std::string::npos); // 25 - 4.5
    CHECK(b.done("history --brew B1").find("corrected B1: 4.5 kg of PAM-1 instead of 14.5 kg") != std::string::npos);
    CHECK(b.run("verify").status == 0);
    b.check_round_trip();
}

TEST_CASE("brew: an item's name does, several weights go in one entry, and a correction may be corrected") {
    const Misweighed b;
    (void)b.done("brew B1 --correct \"pale ale malt=4.4kg\" --correct WM-1=0kg");
    CHECK(b.done("brew B1").find("WM-1") == std::string::npos);
    (void)b.done("brew B1 --correct PAM-1=4.6kg");
    CHECK(b.done("brew B1").find("4.6 kg") != std::string::npos);
    CHECK(b.done("lot PAM-1").find("20.4 kg") != std::string::npos);
    CHECK(b.run("verify").status == 0);
    b.check_round_trip();
}

TEST_CASE("brew: of a hop that went in twice the time says which is corrected") {
    const Misweighed b;
    const Said said = b.run("brew B1 --correct FUG-1=25g");
    CHECK(said.status == 1);
    CHECK(said.hint == "say which: FUG-1=25g@boil,60 or FUG-1=25g@boil,10");
    (void)b.done("brew B1 --correct FUG-1=25g@boil,10");
    const auto additions = b.json("brew B1")["brew"]["additions"];
    CHECK(additions[2]["mass_g"].get<double>() == 20.0);
    CHECK(additions[3]["mass_g"].get<double>() == 25.0);
    CHECK(additions[3]["minutes"].get<double>() == 10.0);
}

TEST_CASE("brew: a correction is corrected again, and not taken back to a weight that no entry states") {
    const Misweighed b;
    const std::string said = b.done("brew B1 --correct PAM-1=4.5kg");
    const auto at = said.find("booked as entry ") + 16;
    const std::string entry = said.substr(at, said.find(':', at) - at);
    const Said back = b.run("reverse " + entry);
    CHECK(back.status == 1);
    CHECK(back.error == "entry " + entry + " is a correction and cannot be taken back itself");
    CHECK(b.done("lot PAM-1").find("20.5 kg") != std::string::npos);
    (void)b.done("brew B1 --abandon \"never brewed\" --used FUG-1=40g"); // the way out of a brew that never was
    CHECK(b.done("lot PAM-1").find("25 kg") != std::string::npos);
    CHECK(b.run("verify").status == 0);
}

TEST_CASE("brew: a correction of what did not go in, or to what is booked, books nothing") {
    const Misweighed b;
    const std::string before = b.done("export");
    CHECK(b.run("brew B1 --correct \"late hop=10g\"").error == "--correct: nothing of `late hop` went into B1");
    CHECK(b.run("brew B1 --correct PAM-1=14.5kg").status == 1);
    CHECK(b.done("export") == before);
}
