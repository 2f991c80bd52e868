// Typed as people write: each line of a table is typed, and what it is taken as stands beside it.
#include "brewery.hpp"
#include <doctest/doctest.h>

using namespace lotwort::test;

namespace {

struct Line {
    const char* typed;
    const char* taken_as; // what the answer says of it
};

struct Stocked : Brewery {
    Stocked() : Brewery("2026-03-10") {
        begin({"\"pale ale malt\" 25kg --lot PAM-1", "Fuggle 100g --lot FUG-1 --kind hop",
               "\"wheat malt\" 5kg --on 2026-03-01", "\"wheat malt\" 3kg --on 2026-02-01"});
        put_recipe("pale", "{item = \"pale ale malt\", mass_kg = 4}", "{item = \"Fuggle\", minutes = 60, mass_g = 20}");
    }
};

} // namespace

TEST_CASE("amounts, prices, days and bases are taken as people write them") {
    constexpr Line table[] = {
        {"receive \"pale ale malt\" 4,5kg", "received 4.5 kg"},
        {"receive \"pale ale malt\" \"5 kg\"", "received 5 kg"},
        {"receive \"pale ale malt\" 5 kg", "received 5 kg"},
        {"receive \"pale ale malt\" 4,25 kg --price 38,50", "received 4.25 kg"},
        {"receive \"pale ale malt\" 5kg --price 38,50", "38,50 is 38.50 EUR"},
        {"receive \"ale yeast\" 2packs", "received 2 pieces of ale yeast"},
        {"receive \"ale yeast\" \"3 sachets\"", "received 3 pieces of ale yeast"},
        {"receive \"pale ale malt\" \"1 250,5 kg\"", "received 1250.5 kg"},
        {"receive \"pale ale malt\" 5kg --on 17.01.2026", "2026-01-17"},
        {"receive \"pale ale malt\" 5kg --on \"17 Jan 2026\"", "2026-01-17"},
        {"receive \"pale ale malt\" 5kg --on 2026-1-17", "2026-01-17"},
        {"receive \"pale ale malt\" 5kg --on saturday", "--on saturday is Saturday, 2026-03-07"},
        {"receive \"pale ale malt\" 5kg --best-before 03/2027", "--best-before 03/2027 is Wednesday, 2027-03-31"},
        {"receive \"pale ale malt\" 5kg --extract 81% --basis dry", "--basis dry is fine-dry"},
        {"receive \"pale ale malt\" 5kg --extract 80% --basis as-is", "--basis as-is is fine-as-is"},
        {"receive \"pale ale malt\" 5kg --extract 79% --basis coarse", "--basis coarse is coarse-dry"},
        {"receive \"pale ale malt\" 5kg --extract 81% --basis DBFG", "--basis DBFG is fine-dry"},
        {"receive \"pale ale malt\" 5kg --extract 78% --basis CGAI", "--basis CGAI is coarse-as-is"},
        {"plan pale --on saturday", "--on saturday is Saturday, 2026-03-14"},
        {"brewhouse change home --boil-off 1galUS/h", "3.79 L/h"},
        {"brewhouse change home --absorption 0.12 galUS/lb", "1 L/kg"},
    };
    const Stocked b;
    for (const Line& line : table) {
        const Said said = b.run(line.typed);
        CHECK_MESSAGE(said.status == 0, line.typed << ": " << said.error);
        CHECK_MESSAGE(said.out.find(line.taken_as) != std::string::npos, line.typed << "\n" << said.out);
    }
    b.check_round_trip();
}

TEST_CASE("what was typed apart is booked to the milligram as what is typed in one") {
    const Stocked b;
    (void)b.done("receive \"pale ale malt\" 4,25 kg --lot APART");
    (void)b.done("receive \"pale ale malt\" 4.25kg --lot ONE");
    CHECK(b.json("lot APART")["lot"]["received_amount"] == b.json("lot ONE")["lot"]["received_amount"]);
}

TEST_CASE("no machine reads how a day was understood") {
    const Stocked b;
    const Said said = b.run("receive \"pale ale malt\" 5kg --on saturday --json");
    CHECK(said.status == 0);
    CHECK(said.out.find("saturday") == std::string::npos);
}

TEST_CASE("an item's name is its one lot, and the answer says which") {
    constexpr Line table[] = {
        {"discard Fuggle 10g --reason mice", "FUG-1: 10 g of 100 g taken out"},
        {"count \"pale ale malt\" 20kg --reason mice", "PAM-1"},
        {"lot \"Pale Ale Malt\"", "PAM-1"},
        {"history --lot Fuggle", "FUG-1"},
        {"trace Fuggle", "FUG-1"},
        {"brew --recipe pale --weighed \"pale ale malt=4.2kg\" --dry-run", "4.2 kg"},
        {"brew --recipe pale --add \"pale ale malt=4.2kg\" --add Fuggle=20g@boil,60 --dry-run", "FUG-1"},
    };
    const Stocked b;
    for (const Line& line : table) {
        const Said said = b.run(line.typed);
        CHECK_MESSAGE(said.status == 0, line.typed << ": " << said.error);
        CHECK_MESSAGE(said.out.find(line.taken_as) != std::string::npos, line.typed << "\n" << said.out);
    }
}

TEST_CASE("of several lots of an item none is taken, and they are listed oldest first") {
    const Stocked b;
    for (const char* typed : {"discard \"wheat malt\" 1kg --reason mice", "lot \"wheat malt\"",
                              "brew --recipe pale --add \"wheat malt=1kg\""}) {
        const Said said = b.run(typed);
        CHECK(said.status == 1);
        CHECK(said.error.find("there are 2 lots of wheat malt") != std::string::npos);
        CHECK(said.hint ==
              "write the code of one, oldest first: WM-2 (3 kg, received 2026-02-01), WM-1 (5 kg, received "
              "2026-03-01)");
    }
    (void)b.done("count WM-2 0kg --reason \"used up\"");
    CHECK(b.done("lot \"wheat malt\"").find("WM-1") != std::string::npos); // the one that holds something
}

TEST_CASE("of a planned brew an item's name is the lot that the plan took") {
    const Stocked b;
    (void)b.done("plan pale");
    (void)b.done("receive \"pale ale malt\" 25kg --lot PAM-2");
    const auto brew = b.json("brew P1 --weighed \"pale ale malt=4.2kg\"")["brew"];
    CHECK(brew["additions"][0]["lot"] == "PAM-1");
}
