// The chain of seals: what is changed behind the program's back is found, and the entry named.
#include "../../src/store/file/sha256.hpp"
#include "ledger_support.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

struct Sealed {
    Folder folder;
    std::string file = folder.file("l");
    Sealed() {
        auto ledger = stocked_ledger(file);
        (void)ledger.append(with(movement_of(MovementKind::discard, "P-1", "2026-02-01", -1.0)),
                            head(EntryKind::discard, "2026-02-01"));
        (void)ledger.append(with(brew_of("B1", "2026-02-02", {mash("P-1", 4.2)})), head(EntryKind::brew, "2026-02-02"));
    }
    [[nodiscard]] std::string faults() const {
        std::string text;
        for (const auto& fault : Ledger(file, Access::read).verify()) text += fault.where + "; ";
        return text;
    }
    // The guard of a table taken away, the change made, the guard put back: as a thief would who knows the schema.
    void change(const std::string& trigger, const std::string& what) const {
        const auto guard = sql(file, "SELECT sql FROM sqlite_schema WHERE name = '" + trigger + "'");
        REQUIRE(!guard.empty());
        REQUIRE(sql(file, "DROP TRIGGER " + trigger + "; " + what + "; " + guard).empty());
    }
};

} // namespace

TEST_CASE("every entry is sealed as it is booked") {
    const Sealed ledger;
    CHECK(sql(ledger.file, "SELECT count(*) FROM entry") == "4");
    CHECK(sql(ledger.file, "SELECT count(DISTINCT sha256) FROM seal WHERE length(sha256) = 64") == "4");
    CHECK(ledger.faults().empty());
}

TEST_CASE("the seal of the first entry is the SHA-256 of the text that docs/ledger.md describes") {
    const Folder folder;
    const auto file = folder.file("l");
    Ledger::create(file, "EUR", {EntryKind::init, day("2026-01-01"), "2026-01-01T08:00:00Z", "ann", "made", ""});
    const std::string content = "\ncurrency EUR\nentry\nentry_id 1\nkind t4:init\non_date t10:2026-01-01\n"
                                "booked_at t20:2026-01-01T08:00:00Z\nby_name t3:ann\nwhat t4:made\nwhy t0:\n";
    CHECK(sql(file, "SELECT sha256 FROM seal") == store::sha256(content));
}

TEST_CASE("a figure that no other rule looks at is missed by none") {
    const Sealed ledger;
    SUBCASE("who booked an entry") {
        ledger.change("entry_no_update", "UPDATE entry SET by_name = 'nobody' WHERE entry_id = 3");
        CHECK(ledger.faults() == "entry 3; ");
    }
    SUBCASE("a certificate") {
        ledger.change("certificate_no_update", "UPDATE certificate SET extract_pct = extract_pct + 1e-12");
        CHECK(ledger.faults() == "entry 2; ");
    }
    SUBCASE("a lot's name") {
        ledger.change("lot_no_update", "UPDATE lot SET code = 'Y-9' WHERE code = 'Y-1'");
        CHECK(ledger.faults() == "entry 2; ");
    }
    SUBCASE("a line of a recipe gone") {
        ledger.change("recipe_hop_no_delete", "DELETE FROM recipe_hop");
        CHECK(ledger.faults() == "entry 2; ");
    }
    SUBCASE("a stage of a brew") {
        ledger.change("movement_no_update", "UPDATE movement SET stage = 'boil' WHERE brew_id = 1");
        CHECK(ledger.faults() == "entry 4; ");
    }
    SUBCASE("the ledger's currency") {
        ledger.change("ledger_no_update", "UPDATE ledger SET currency = 'USD'");
        CHECK(ledger.faults() == "entry 1; ");
    }
    SUBCASE("a row put in under an old entry") {
        ledger.change("retest_append",
                      "INSERT INTO retest (lot_id, entry_id, on_date, moisture_pct) VALUES (1, 3, '2026-02-01', 5.0)");
        CHECK(ledger.faults() == "entry 3; ");
    }
    SUBCASE("a seal") {
        ledger.change("seal_no_update", "UPDATE seal SET sha256 = replace(sha256, substr(sha256, 1, 1), 'e') "
                                        "WHERE entry_id = 2");
        CHECK(ledger.faults() == "entry 2; entry 3; "); // the next one stands on it
    }
}

TEST_CASE("an entry of another program bears no seal, and the chain goes on past it") {
    const Sealed ledger;
    REQUIRE(sql(ledger.file, "INSERT INTO entry (entry_id, kind, on_date, booked_at, by_name, what, why) VALUES (5, "
                             "'discard', '2026-02-03', '2026-02-03T08:00:00Z', 'x', "
                             "'by hand', '')")
                .empty());
    CHECK(ledger.faults() == "entry 5; ");
    Ledger again(ledger.file, Access::write);
    (void)again.append(with(movement_of(MovementKind::discard, "P-1", "2026-02-04", -1.0)),
                       head(EntryKind::discard, "2026-02-04"));
    CHECK(ledger.faults() == "entry 5; ");
    ledger.change("entry_no_update", "UPDATE entry SET why = 'x' WHERE entry_id = 6");
    CHECK(ledger.faults() == "entry 5; entry 6; ");
}

TEST_CASE("a rehearsal leaves no seal") {
    const Sealed ledger;
    Ledger again(ledger.file, Access::write);
    (void)again.rehearse(with(movement_of(MovementKind::discard, "P-1", "2026-02-04", -1.0)),
                         head(EntryKind::discard, "2026-02-04"));
    CHECK(sql(ledger.file, "SELECT max(entry_id) FROM seal") == "4");
}
