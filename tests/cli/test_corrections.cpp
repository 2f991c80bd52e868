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
    CHECK(hint.starts_with("correct r3, which stands for it now: lotwort measure B1 --correct r3 gravity=1.047@20C\n"));
    const std::string entry = hint.substr(hint.rfind(' ') + 1);
    (void)b.done("reverse " + entry);
    CHECK(b.listed() == before);
}

TEST_CASE("measure: what is put right is believed no more than what is read, and what was wrong is not looked at") {
    const Misread b;
    (void)b.done("brewhouse vessel home --point kettle-full --dip 0cm=0L --dip 50cm=35L");
    (void)b.done("measure B1 kettle-full 38L@95C --sure"); // r3, a slip for 28
    CHECK(b.run("measure B1 --correct r3 39L@95C").error.starts_with("39 L at kettle-full is more than the 35 L"));
    const std::string said = b.done("measure B1 --correct r3 28.5L@95C");
    CHECK(said.find("corrected r3 of B1 by r4") != std::string::npos);
    // beer's gravity in the fermenter was flagged; once it reads as wort nothing is left to flag
    CHECK(b.done("measure B1 --correct r2 1.010@20C --sure").find("far below") != std::string::npos);
    CHECK(b.done("measure B1 --correct r5 1.046@20C").find("far below") == std::string::npos);
}

TEST_CASE("measure: a correction to what the reading says already books nothing") {
    const Misread b;
    const std::string before = b.done("export");
    const Said said = b.run("measure B1 --correct r1 28L@95C gravity=1.040@20C");
    CHECK(said.status == 1);
    CHECK(said.error == "r1 says that already");
    CHECK(b.done("export") == before);
}

TEST_CASE("measure: an instrument goes with what it reads, and may be what was wrong") {
    const Misread b;
    (void)b.done("brewhouse instrument stem --kind hydrometer");
    (void)b.done("brewhouse instrument glass --kind hydrometer");
    (void)b.done("brewhouse instrument prism --kind refractometer");
    (void)b.done("measure B1 cast-out 25L@95C 1.045@20C --instrument stem"); // r3
    (void)b.done("measure B1 --correct r3 gravity=11.5Bx");                  // r4
    (void)b.done("measure B1 --correct r4 gravity=11.6Bx --instrument prism");
    (void)b.done("measure B1 --correct r5 gravity=1.046@20C --instrument stem");
    (void)b.done("measure B1 --correct r6 --instrument glass");
    const auto readings = b.json("measure B1")["readings"];
    const auto instrument = [&](std::size_t at) { return readings[at]["reading"]["gravity_instrument"]; };
    CHECK(instrument(2) == "stem");
    CHECK(!readings[3]["reading"].contains("gravity_instrument")); // a stem shows no degrees Brix
    CHECK(instrument(4) == "prism");
    CHECK(instrument(5) == "stem");
    CHECK(instrument(6) == "glass");
    CHECK(readings[6]["reading"]["gravity_sg"].get<double>() == near(1.046, 1e-9));
    b.check_round_trip();
}
