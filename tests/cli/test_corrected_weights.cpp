// A weight of a brew that was booked wrong is put right in one command: an equal and opposite movement of the ledger
// answers it, and the right one stands in its place.
#include "brewery.hpp"
#include "near.hpp"
#include <doctest/doctest.h>
#include <map>

using namespace lotwort::test;

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
    [[nodiscard]] double on_hand(const std::string& lot) const {
        return json("lot " + lot)["on_hand_kg"].get<double>();
    }
    // Books the line; the number of its entry.
    [[nodiscard]] std::string entry_of(const std::string& line) const {
        const std::string said = done(line);
        const auto at = said.find("booked as entry ") + 16;
        return said.substr(at, said.find(':', at) - at);
    }
    // The line is refused so, and the ledger is as it was.
    void check_refused(const std::string& line, const std::string& error) const {
        INFO(line);
        const std::string before = done("export");
        const Said said = run(line);
        CHECK(said.status == 1);
        CHECK(said.error == error);
        CHECK(done("export") == before);
    }
    void check_stood_on(const std::string& entry) const {
        check_refused("reverse " + entry, "entry " + entry + " cannot be taken back: later entries stand on it");
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
    CHECK(b.on_hand("PAM-1") == near(20.5, 1e-9)); // 25 - 4.5
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
    CHECK(b.on_hand("PAM-1") == near(20.4, 1e-9));
    CHECK(b.on_hand("WM-1") == near(5.0, 1e-9));
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
    const std::string entry = b.entry_of("brew B1 --correct PAM-1=4.5kg");
    const Said back = b.run("reverse " + entry);
    CHECK(back.status == 1);
    CHECK(back.error == "entry " + entry + " is a correction and cannot be taken back itself");
    CHECK(b.on_hand("PAM-1") == near(20.5, 1e-9));
    (void)b.done("brew B1 --abandon \"never brewed\" --used FUG-1=40g"); // the way out of a brew that never was
    CHECK(b.on_hand("PAM-1") == near(25.0, 1e-9));
    CHECK(b.run("reverse " + entry).hint.find("B1 was given up (never brewed): what came back of it is in stock") !=
          std::string::npos);
    CHECK(b.run("verify").status == 0);
}

TEST_CASE("brew: a correction of what did not go in, to what is booked, or twice books nothing") {
    const Misweighed b;
    b.check_refused("brew B1 --correct \"late hop=10g\"", "--correct: nothing of `late hop` went into B1");
    b.check_refused("brew B1 --correct PAM-1=14.5kg", "--correct: 14.5 kg of PAM-1 is booked already");
    b.check_refused("brew B1 --correct PAM-1=4.4kg --correct PAM-1=4.5kg",
                    "--correct `PAM-1=4.5kg`: that weight is corrected twice");
    b.check_refused("brew B1 --correct FUG-1=25g@boil,10 --correct FUG-1=26g@boil,10",
                    "--correct `FUG-1=26g@boil,10`: that weight is corrected twice");
}

TEST_CASE("brew: what is of no use beside a correction or an addition is said, and not passed over") {
    const Misweighed b;
    for (const char* line : {"brew B1 --correct PAM-1=4.4kg --sheet", "brew B1 --add PAM-1=1kg --sheet",
                             "brew B1 --correct PAM-1=4.4kg --weighed WM-1=0.1kg"})
        CHECK(b.run(line).error.find("no effect here") != std::string::npos);
}

TEST_CASE("brew: what came back from a brew that was given up is not corrected under it") {
    const Misweighed b;
    (void)b.done("brew B1 --abandon \"never brewed\" --used FUG-1=40g");
    b.check_refused("brew B1 --correct PAM-1=4kg", "B1 was given up: never brewed");
    CHECK(b.on_hand("PAM-1") == near(25.0, 1e-9));
    b.check_round_trip();
}

TEST_CASE("brew: what was added to a brew is not taken back from under its giving up") {
    const Misweighed b;
    const std::string entry = b.entry_of("brew B1 --add PAM-1=2kg");
    (void)b.done("brew B1 --abandon \"never brewed\" --used FUG-1=40g");
    b.check_stood_on(entry);
    CHECK(b.on_hand("PAM-1") == near(25.0, 1e-9)); // and not the 2 kg a second time
}

TEST_CASE("brew: an item's name is a lot that went in, be it empty, and of two it is asked which") {
    const Misweighed b;
    (void)b.done("receive \"lager malt\" 2kg --lot LM-1");
    (void)b.done("receive \"lager malt\" 9kg --lot LM-2");
    (void)b.done("brew B1 --add LM-1=2kg"); // empty by that
    (void)b.done("brew B1 --correct \"lager malt=1.9kg\"");
    CHECK(b.on_hand("LM-1") == near(0.1, 1e-9));
    CHECK(b.on_hand("LM-2") == near(9.0, 1e-9));
}

TEST_CASE("brew: of two lots of an item that went in, one empty, none is preferred") {
    const Misweighed b;
    (void)b.done("receive \"lager malt\" 2kg --lot LM-1");
    (void)b.done("receive \"lager malt\" 9kg --lot LM-2");
    (void)b.done("brew B1 --add LM-1=2kg --add LM-2=2.5kg");
    const std::string several = "2 lots of lager malt went into B1";
    b.check_refused("brew B1 --correct \"lager malt=1.9kg\"", "--correct: " + several);
    b.check_refused("brew B1 --abandon \"pump burst\" --used \"lager malt=2kg\"", "--used: " + several);
    CHECK(b.run("brew B1 --correct \"lager malt=1.9kg\"").hint ==
          "write the code of one: 2 kg of LM-1, 2.5 kg of LM-2");
    (void)b.done("brew B1 --abandon \"pump burst\" --used \"wheat malt=0.1kg\" --used LM-1=2kg");
    CHECK(b.on_hand("WM-1") == near(4.9, 1e-9));
    CHECK(b.on_hand("LM-1") == near(0.0, 1e-9));
    CHECK(b.on_hand("LM-2") == near(9.0, 1e-9));
}

TEST_CASE("brew: --used by an item's name looks at what went in, not at all that is in stock") {
    const Misweighed b;
    (void)b.done("receive \"wheat malt\" 25kg --lot WM-2");
    (void)b.done("brew B1 --abandon \"pump burst\" --used \"wheat malt=0.2kg\" --used PAM-1=1kg");
    CHECK(b.on_hand("WM-1") == near(4.8, 1e-9));
    CHECK(b.on_hand("WM-2") == near(25.0, 1e-9));
}

TEST_CASE("brew: a correction to nothing is of its brew, and stands in the way of taking the brewing back") {
    const Misweighed b;
    (void)b.done("brew B1 --correct WM-1=0kg");
    CHECK(b.done("history --brew B1").find("corrected B1: 0 kg of WM-1 instead of 200 g") != std::string::npos);
    const Said said = b.run("reverse 7");
    CHECK(said.error == "entry 7 cannot be taken back: later entries stand on it");
    CHECK(said.hint.find("corrected B1: 0 kg of WM-1") != std::string::npos);
    CHECK(said.hint.find("give the brew up: lotwort brew B1 --abandon REASON") != std::string::npos);
    CHECK(b.on_hand("WM-1") == near(5.0, 1e-9));
    b.check_round_trip();
}

TEST_CASE("brew: what was added and corrected since is not taken back as if nothing stood of it") {
    const Misweighed b;
    const std::string entry = b.entry_of("brew B1 --add PAM-1=2kg@mash,90");
    (void)b.done("brew B1 --correct PAM-1=1kg@mash,90");
    b.check_stood_on(entry);
    CHECK(b.on_hand("PAM-1") == near(25.0 - 14.5 - 1.0, 1e-9));
}

TEST_CASE("brew: of a lot on hold what went in is corrected down, and no more is taken") {
    const Misweighed b;
    (void)b.done("trace PAM-1 --hold weevils");
    b.check_refused("brew B1 --correct PAM-1=14.6kg", "--correct: lot PAM-1 is on hold: weevils");
    (void)b.done("brew B1 --correct PAM-1=4.5kg --correct WM-1=0.3kg");
    CHECK(b.on_hand("PAM-1") == near(20.5, 1e-9));
    b.check_round_trip();
}

TEST_CASE("brew: of two weights of a lot in one place the old one says which") {
    const Misweighed b;
    (void)b.done("brew B1 --add PAM-1=2kg --add WM-1=0.2kg");
    const Said said = b.run("brew B1 --correct PAM-1=4.5kg");
    CHECK(said.error == "--correct: PAM-1 went into B1 2 times");
    CHECK(said.hint == "say which: PAM-1=14.5kg=4.5kg@mash or PAM-1=2kg=4.5kg@mash");
    (void)b.done("brew B1 --correct PAM-1=14.5kg=4.5kg --correct PAM-1=2kg=2.2kg@mash");
    CHECK(b.on_hand("PAM-1") == near(25.0 - 4.5 - 2.2, 1e-9));
    b.check_refused("brew B1 --correct PAM-1=3kg=1kg", "--correct `PAM-1=3kg=1kg`: 3 kg of PAM-1 did not go in there");
    // twice the same: either may be meant
    CHECK(b.run("brew B1 --correct WM-1=0.1kg").hint == "say which: WM-1=200g=100g@mash");
    (void)b.done("brew B1 --correct WM-1=0.2kg=0.1kg --correct WM-1=0.2kg=0.3kg");
    CHECK(b.on_hand("WM-1") == near(5.0 - 0.1 - 0.3, 1e-9));
    b.check_round_trip();
}

TEST_CASE("brew: of a lot in two mashes the mash that is named is corrected") {
    const Misweighed b;
    (void)b.done("brew B1 --add WM-1=0.5kg@mash1 --add WM-1=0.5kg@mash2");
    (void)b.done("brew B1 --correct WM-1=0.6kg@mash2");
    const auto additions = b.json("brew B1")["brew"]["additions"];
    std::map<int, double> by_mash;
    for (const auto& addition : additions)
        if (addition.contains("mash")) by_mash[addition["mash"].get<int>()] = addition["mass_kg"].get<double>();
    CHECK(by_mash == std::map<int, double>{{1, 0.5}, {2, 0.6}});
}

TEST_CASE("brew: a weight added or corrected far beyond the recipe is asked about, one that was believed is not") {
    const Misweighed b;
    (void)b.done("brew --recipe pale --add PAM-1=4.5kg"); // B2
    b.check_refused("brew B2 --add PAM-1=5kg", "9.5 kg of pale ale malt weighed, where the recipe asks for 4.5 kg");
    b.check_refused("brew B2 --correct PAM-1=9.5kg",
                    "9.5 kg of pale ale malt weighed, where the recipe asks for 4.5 kg");
    (void)b.done("brew B2 --correct PAM-1=9.5kg --sure");
    (void)b.done("brew B1 --correct PAM-1=14.6kg"); // 14.5 kg were
    b.put_recipe("hopped", "{item = \"pale ale malt\", mass_kg = 0.5}",
                 "{item = \"Fuggle\", stage = \"boil\", minutes = 60, mass_g = 10}");
    (void)b.done("brew --recipe hopped --add PAM-1=0.5kg --add FUG-1=10g@boil,60"); // B3
    (void)b.done("brew B3 --add FUG-1=40g@dry");                                    // to taste
    CHECK(b.run("brew B3 --correct FUG-1=15g@boil,60 --dry-run").status == 0);
}

namespace {

// The named copy of the ledger, made before, comes to all that this one holds by what this one exports.
void check_catches_up(const Misweighed& b, const std::string& copy) {
    const std::string behind = " --ledger FOLDER/" + copy;
    (void)b.done("export FOLDER/after.json --force");
    (void)b.done("import FOLDER/after.json" + behind);
    CHECK(b.done("stock --lots --json" + behind) == b.done("stock --lots --json"));
    CHECK(b.done("brew B1" + behind) == b.done("brew B1"));
    CHECK(b.json("verify" + behind)["sound"] == true);
}

} // namespace

TEST_CASE("import: a ledger from before a correction comes to the stock of the one that was corrected") {
    const Misweighed b;
    (void)b.done("brew B1 --add PAM-1=1kg@mash,90");
    (void)b.done("backup FOLDER/first.lotwort");
    for (const std::string correction : {"PAM-1=14.5kg=4.5kg --correct WM-1=0kg", "PAM-1=1.1kg@mash,90",
                                         "FUG-1=0g@boil,10", "FUG-1=25g", "FUG-1=20g", "PAM-1=4.5kg=14.5kg --sure"}) {
        INFO(correction);
        (void)b.done("backup FOLDER/before.lotwort --replace");
        (void)b.done("export FOLDER/older.json --force");
        (void)b.done("brew B1 --correct " + correction);
        check_catches_up(b, "before.lotwort");
        const std::string now = b.done("export");
        CHECK(b.done("export --ledger FOLDER/before.lotwort") == now);
        (void)b.done("import FOLDER/after.json"); // known by now
        (void)b.done("import FOLDER/older.json"); // known longer than that
        CHECK(b.done("export") == now);
    }
    check_catches_up(b, "first.lotwort");
    // given up since, with what was corrected before
    (void)b.done("backup FOLDER/before.lotwort --replace");
    (void)b.done("brew B1 --correct PAM-1=1.2kg@mash,90");
    (void)b.done("brew B1 --abandon \"pump burst\" --used PAM-1=1kg --used FUG-1=20g");
    check_catches_up(b, "before.lotwort");
}

TEST_CASE("import: what went into a brew that was given up here is not corrected by a file") {
    const Misweighed b;
    (void)b.done("backup FOLDER/here.lotwort");
    (void)b.done("brew B1 --abandon \"pump burst\" --used PAM-1=1kg --ledger FOLDER/here.lotwort");
    (void)b.done("brew B1 --correct PAM-1=4.5kg");
    (void)b.done("export FOLDER/after.json");
    const std::string before = b.done("export --ledger FOLDER/here.lotwort");
    const Said said = b.run("import FOLDER/after.json --ledger FOLDER/here.lotwort");
    CHECK(said.status == 1);
    CHECK(said.error.find("taken back in the file, but B1 was given up in the ledger with it") != std::string::npos);
    CHECK(b.done("export --ledger FOLDER/here.lotwort") == before);
}
