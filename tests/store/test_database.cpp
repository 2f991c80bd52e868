// The ledger's rules are the database's own: SQL that goes round the program meets them as well.
#include "ledger_support.hpp"
#include <doctest/doctest.h>
#include <sstream>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// A ledger with a receipt and one use of lot 1 (H-1) and of lot 2 (P-1): 20 kg of 25 taken on 2026-02-01.
struct Used {
    Folder folder;
    std::string file = folder.file("l");
    Used() {
        auto ledger = stocked_ledger(file);
        Brew brew = brew_of("B1", "2026-02-01", {mash("P-1", 20.0)});
        brew.readings.emplace_back().volume = Litres(23.0);
        (void)ledger.append(with(brew), head(EntryKind::brew, "2026-02-01"));
    }
    [[nodiscard]] std::string run(const std::string& text) const { return sql(file, text); }
    [[nodiscard]] std::string booked(const std::string& rows) const {
        return run("INSERT INTO movement (entry_id, lot_id, on_date, kind, change) VALUES " + rows);
    }
};

const std::string tables = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name <> 'lot_balance'";

} // namespace

TEST_CASE("no row of any table is changed or deleted") {
    const Used ledger;
    for (const std::string table : {"migration",
                                    "ledger",
                                    "entry",
                                    "item",
                                    "item_version",
                                    "stand_in",
                                    "instrument",
                                    "instrument_version",
                                    "brewhouse",
                                    "brewhouse_version",
                                    "vessel",
                                    "dip_mark",
                                    "recipe",
                                    "recipe_version",
                                    "recipe_grist",
                                    "recipe_hop",
                                    "recipe_other",
                                    "supplier",
                                    "supplier_version",
                                    "closed_weekday",
                                    "offer",
                                    "offer_version",
                                    "price_step",
                                    "lot",
                                    "lot_detail",
                                    "certificate",
                                    "retest",
                                    "purchase_order",
                                    "purchase_order_version",
                                    "order_line",
                                    "order_receipt",
                                    "plan",
                                    "plan_version",
                                    "reservation",
                                    "awaited",
                                    "instrument_check",
                                    "brew",
                                    "brew_head",
                                    "reading",
                                    "movement"}) {
        const auto column = ledger.run("SELECT name FROM pragma_table_info('" + table + "') LIMIT 1");
        REQUIRE(ledger.run("SELECT count(*) > 0 FROM " + table) == "1");
        const auto refused = "refused: " + table + " is append-only";
        CHECK(ledger.run("DELETE FROM " + table) == refused);
        CHECK(ledger.run("UPDATE " + table + " SET " + column + " = " + column) == refused);
        CHECK(ledger.run("UPDATE OR IGNORE " + table + " SET " + column + " = " + column) == refused);
        CHECK(ledger.run("UPDATE OR REPLACE " + table + " SET " + column + " = " + column) == refused);
        // every row put over itself
        CHECK(
            ledger.run("INSERT OR REPLACE INTO " + table + " SELECT * FROM " + table).starts_with("refused: " + table));
    }
    // each table is in the list above, or here: those that this ledger has no row in
    CHECK(ledger.run("SELECT count(*) FROM (" + tables + ")") == "52");
    CHECK(ledger.run("SELECT count(*) FROM reversal, lot_hold, reading_status, lot_source, lot_opening, brew_end, "
                     "package, package_run, package_sent") == "0");
}

TEST_CASE("the tables that record a change of mind are append-only too") {
    Used used;
    Ledger ledger(used.file, Access::write);
    auto lot = ledger.lot("W-1")->lot;
    lot.held = "wet";
    lot.opened = day("2026-02-02");
    (void)ledger.append(with(lot), head(EntryKind::hold, "2026-02-02"));
    auto part = lot_of("W-2", "wheat malt", "2026-02-02", 1.0);
    part.made_from = {{"W-1", Amount::of(Kilograms(1.0))}};
    (void)ledger.append(with(part), head(EntryKind::split, "2026-02-02"));
    auto brew = *ledger.brew("B1");
    brew.additions.clear();
    brew.readings[0].set_aside = "misread";
    brew.abandoned = "the pump burst";
    (void)ledger.append(with(brew), head(EntryKind::measure, "2026-02-02"));
    (void)ledger.append(with(brew_of("B2", "2026-02-02", {})), head(EntryKind::brew, "2026-02-02"));
    auto run = run_of("B2-1", "B2", "2026-02-02", 40);
    run.sent.push_back({day("2026-02-02"), "the inn", 12});
    (void)ledger.append(with(run), head(EntryKind::package, "2026-02-02"));
    (void)ledger.reverse(4, head(EntryKind::reverse, "2026-02-03"));
    for (const std::string table : {"reversal", "lot_hold", "reading_status", "lot_opening", "brew_end", "lot_source",
                                    "package", "package_run", "package_sent"}) {
        REQUIRE(used.run("SELECT count(*) FROM " + table) == "1");
        const auto refused = "refused: " + table + " is append-only";
        CHECK(used.run("DELETE FROM " + table) == refused);
        const std::string column = table == "lot_source" ? "position" : table == "package" ? "package_id" : "entry_id";
        CHECK(used.run("UPDATE " + table + " SET " + column + " = 1") == refused);
        CHECK(used.run("INSERT OR REPLACE INTO " + table + " SELECT * FROM " + table).starts_with("refused: " + table));
    }
}

TEST_CASE("unique keys beside the row's number cannot be used to replace a row") {
    const Used ledger;
    for (const std::string named : {"item (name) VALUES ('pale malt')", "lot (code, measure) VALUES ('P-1', 'mass')",
                                    "brew (code) VALUES ('B1')", "supplier (name) VALUES ('hill maltings')",
                                    "migration (name, checksum) SELECT name, checksum FROM migration"}) {
        CHECK(ledger.run("INSERT OR REPLACE INTO " + named).ends_with("is append-only"));
        CHECK(ledger.run("INSERT OR IGNORE INTO " + named).ends_with("is append-only"));
    }
    CHECK(ledger.run(
              "INSERT OR REPLACE INTO offer (supplier, item, pack_kg) SELECT supplier, item, pack_kg FROM offer") ==
          "refused: offer is append-only");
    CHECK(ledger.run("SELECT count(*) FROM item") == "4");
}

TEST_CASE("no lot falls below nothing at the end of any day") {
    const Used ledger;
    CHECK(ledger.booked("(3, 2, '2026-02-02', 'discard', -5000001)") == "refused: lot_below_nothing");
    CHECK(ledger.booked("(3, 2, '2026-02-01', 'discard', -5000001)") == "refused: lot_below_nothing");
    // back-dated: there were 25 kg then, but 20 are used later
    CHECK(ledger.booked("(3, 2, '2026-01-20', 'discard', -5000001)") == "refused: lot_below_nothing");
    CHECK(ledger.booked("(3, 2, '2026-01-04', 'discard', -1)") == "refused: lot_below_nothing"); // before it came
    CHECK(ledger.booked("(3, 2, '2026-01-20', 'discard', -5000000)").empty());
    CHECK(ledger.run("SELECT balance FROM lot_balance WHERE lot_id = 2") == "0");
    // found later, so there is stock now, but not on the days before
    CHECK(ledger.booked("(3, 2, '2026-03-01', 'count', 7000000)").empty());
    CHECK(ledger.booked("(3, 2, '2026-02-20', 'discard', -1)") == "refused: lot_below_nothing");
    CHECK(ledger.booked("(3, 2, '2026-03-01', 'discard', -7000000)").empty());
    CHECK(ledger.booked("(3, 2, '2026-03-01', 'discard', -1), (3, 2, '2026-03-01', 'count', 1)") ==
          "refused: lot_below_nothing"); // what is added on a day goes first
    CHECK(ledger.booked("(3, 2, '2026-03-01', 'count', 1), (3, 2, '2026-03-01', 'discard', -1)").empty());
    // sound, but that rows were put under entry 3 by hand
    const auto faults = Ledger(ledger.file, Access::read).verify();
    REQUIRE(faults.size() == 1);
    CHECK(faults[0].where == "entry 3");
}

TEST_CASE("balances take no change that a movement does not account for") {
    const Used ledger;
    const std::string refused = "refused: lot_balance follows the movements";
    CHECK(ledger.run("UPDATE lot_balance SET balance = balance + 1") == refused);
    CHECK(ledger.run("UPDATE lot_balance SET newest_on = '2026-01-01' WHERE lot_id = 2") == refused);
    CHECK(ledger.run("UPDATE lot_balance SET movement_id = 5, balance = 5000000 WHERE lot_id = 2") == refused);
    CHECK(ledger.run("UPDATE lot_balance SET lot_id = 9 WHERE lot_id = 2") == refused);
    CHECK(ledger.run("DELETE FROM lot_balance") == "refused: lot_balance is append-only");
    CHECK(ledger.run("INSERT OR REPLACE INTO lot_balance VALUES (2, 0, '', 0)") == refused);
    CHECK(ledger.run("INSERT INTO lot_balance VALUES (99, 5, '', 0)") == refused);
}

TEST_CASE("rows are booked under the newest entry, and entries in order") {
    const Used ledger;
    CHECK(ledger.booked("(2, 2, '2026-02-02', 'discard', -1)") ==
          "refused: movement: rows are booked under the newest entry");
    CHECK(ledger.booked("(9, 2, '2026-02-02', 'discard', -1)") ==
          "refused: movement: rows are booked under the newest entry");
    const std::string entry = "'count', '2026-02-02', '2026-02-02T10:00:00Z', '', '', '')";
    CHECK(ledger.run("INSERT INTO entry (entry_id, kind, on_date, booked_at, by_name, what, why) VALUES (3, " +
                     entry) == "refused: entry is append-only");
    CHECK(ledger.run("INSERT INTO entry (entry_id, kind, on_date, booked_at, by_name, what, why) VALUES (7, " +
                     entry) == "refused: entry: numbers leave no gap");
    CHECK(ledger.run("INSERT INTO entry (entry_id, kind, on_date, booked_at, by_name, what, why) VALUES (-1, " + entry)
              .starts_with("refused: "));
    CHECK(ledger.run("INSERT INTO recipe_grist (recipe_version_id, position, item, share_pct, mass_kg) VALUES (1, 9, "
                     "'pale malt', 5.0, NULL)") == "refused: recipe_grist: rows are booked under the newest entry");
    CHECK(ledger.run("INSERT INTO item_version (item_id, entry_id, kind) VALUES (1, 2, 'hop')") ==
          "refused: item_version: rows are booked under the newest entry");
    CHECK(ledger.run("INSERT INTO dip_mark VALUES (1, 9, 20, 30)").starts_with("refused: dip_mark: rows"));
    CHECK(ledger.run("INSERT INTO movement (movement_id, entry_id, lot_id, on_date, kind, change) "
                     "VALUES (1, 3, 2, '2026-02-02', 'discard', -1)") == "refused: movement is append-only");
    CHECK(ledger
              .run("INSERT INTO movement (movement_id, entry_id, lot_id, on_date, kind, change) "
                   "VALUES (-7, 3, 2, '2026-02-02', 'discard', -1)")
              .starts_with("refused: CHECK"));
}

TEST_CASE("no row stands without what it refers to, foreign keys looked at or not") {
    const Used ledger;
    const std::string off = "PRAGMA foreign_keys = OFF; ";
    const std::string movement = "INSERT INTO movement (entry_id, lot_id, on_date, kind, change";
    CHECK(ledger.booked("(3, 99, '2026-02-02', 'discard', -1)").starts_with("refused: "));
    CHECK(ledger.run(off + movement + ") VALUES (3, 99, '2026-02-02', 'discard', -1)") ==
          "refused: movement: there is no such lot");
    CHECK(ledger.run(off + movement + ", brew_id, stage) VALUES (3, 2, '2026-02-02', 'brew', -1, 99, 'mash')") ==
          "refused: movement: there is no such brew");
    CHECK(ledger.run(off + movement + ", reverses_movement_id) VALUES (3, 2, '2026-02-02', 'reversal', 1, 99)") ==
          "refused: movement: what it takes back is not there");
    CHECK(ledger.run(off + "INSERT INTO entry (entry_id, kind, on_date, booked_at, by_name, what, why) VALUES (4, "
                           "'reverse', '2026-02-02', '2026-02-02T10:00:00Z', '', '', ''); "
                           "INSERT INTO reversal VALUES (4, 99)") == "refused: reversal: there is no such entry");
    CHECK(ledger.run(off + "INSERT INTO reading (brew_id, entry_id, id, point) VALUES (99, 4, 'r9', 'mash')") ==
          "refused: reading: there is no such brew");
    CHECK(ledger.run(off + "INSERT INTO lot_hold (lot_id, entry_id, held) VALUES (99, 4, 'wet')") ==
          "refused: lot_hold: there is no such lot");
    CHECK(ledger.run(off + "INSERT INTO item_version (item_id, entry_id, kind) VALUES (99, 4, 'hop')") ==
          "refused: item_version: there is no such item");
    CHECK(ledger.run(off + "INSERT INTO seal VALUES (5, '" + std::string(64, '0') + "')") ==
          "refused: seal: there is no such entry");
}

TEST_CASE("an import brings no reversal of what is not there, or not there yet") {
    const Used ledger;
    const std::string off = "PRAGMA foreign_keys = OFF; ";
    CHECK(ledger
              .run("INSERT INTO entry (entry_id, kind, on_date, booked_at, by_name, what, why) VALUES (4, 'import', "
                   "'2026-02-02', '2026-02-02T10:00:00Z', '', '', '')")
              .empty());
    for (const char* which : {"2", "1000"}) // behind the newest; its own number would be the next
        CHECK(ledger.run(off +
                         "INSERT INTO movement (entry_id, lot_id, on_date, kind, change, reverses_movement_id) "
                         "SELECT 4, 2, '2026-02-02', 'reversal', 1, max(movement_id) + " +
                         which + " FROM movement") == "refused: movement: what it takes back is not there");
}

TEST_CASE("a plan's promises are released or consumed, never both") {
    const Used ledger;
    const std::string entry = "INSERT INTO entry (kind, on_date, booked_at, by_name, what, why) VALUES "
                              "('plan', '2026-02-02', '2026-02-02T10:00:00Z', '', '', ''); ";
    const std::string plan = "INSERT INTO plan_version (plan_id, entry_id, date, recipe, cancelled) SELECT 1, "
                             "max(entry_id), '2026-02-10', 'ordinary pale', 'no time' FROM entry";
    const std::string brew = "INSERT INTO brew (code) VALUES ('B2'); INSERT INTO brew_head (brew_id, entry_id, date, "
                             "plan, brewhouse) SELECT 2, max(entry_id), '2026-02-10', 'PL-1', 'main' FROM entry";
    SUBCASE("called off, then brewed") {
        CHECK(ledger.run(entry + plan).empty());
        CHECK(ledger.run(brew) == "refused: brew_head: the plan was called off");
    }
    SUBCASE("brewed, then called off") {
        CHECK(ledger.run(entry + brew).empty());
        CHECK(ledger.run(plan) == "refused: plan_version: the plan has been brewed already");
    }
}

TEST_CASE("each reference of each table is held, without foreign keys too") {
    const Used ledger;
    // a row of the table again under the newest entry, but for one reference to what is not there
    std::istringstream statements(ledger.run(
        R"(SELECT DISTINCT 'INSERT INTO ' || t.name || ' SELECT ' || (SELECT group_concat(CASE
               WHEN c.name = f."from" THEN CASE c.type WHEN 'TEXT' THEN '''nowhere''' ELSE '999' END
               WHEN c.name = 'entry_id' THEN '(SELECT max(entry_id) FROM entry)'
               WHEN c.pk = 1 AND c.name = t.name || '_id' THEN 'NULL'
               ELSE '"' || c.name || '"' END) FROM pragma_table_info(t.name) AS c) || ' FROM ' || t.name || ' LIMIT 1'
           FROM sqlite_schema AS t, pragma_foreign_key_list(t.name) AS f
           WHERE t.type = 'table' AND t.name NOT IN ('movement', 'lot_balance') ORDER BY t.rowid, f.id)"));
    int held = 0;
    for (std::string statement; std::getline(statements, statement);) {
        const auto table = statement.substr(12, statement.find(' ', 12) - 12);
        if (ledger.run("SELECT count(*) FROM " + table) == "0") continue;
        const auto said = ledger.run("PRAGMA foreign_keys = OFF; " + statement);
        const bool refused = said.starts_with("refused: " + table + ": there is no such ") ||
                             said == "refused: " + table + ": rows are booked under the newest entry";
        CHECK_MESSAGE(refused, statement, ": ", said);
        ++held;
    }
    CHECK(held > 55);
}

TEST_CASE("dates are days that exist, and figures are figures") {
    const Used ledger;
    for (const std::string on :
         {"2026-02-30", "2026-2-3", "20260203", "1899-12-31", "2200-01-01", "", "today", "2026-02-03 "})
        CHECK_MESSAGE(ledger.booked("(3, 2, '" + on + "', 'count', 1)").starts_with("refused: CHECK"), on);
    CHECK(ledger.booked("(3, 2, NULL, 'count', 1)").starts_with("refused: NOT NULL"));
    CHECK(ledger.booked("(3, 2, 2461074, 'count', 1)").starts_with("refused: CHECK"));
    const auto entry = [&](const std::string& at) {
        return ledger.run("INSERT INTO entry (entry_id, kind, on_date, booked_at, by_name, what, why) VALUES (NULL, "
                          "'count', '2026-02-02', '" +
                          at + "', '', '', '')");
    };
    CHECK(entry("2026-02-30T10:00:00Z").starts_with("refused: CHECK"));
    CHECK(entry("2026-02-02 10:00").starts_with("refused: CHECK"));
    const auto reading = [&](const std::string& columns, const std::string& values) {
        return ledger.run("INSERT INTO reading (brew_id, entry_id, id, point, " + columns +
                          ") VALUES (1, 3, 'r9', 'mash', " + values + ")");
    };
    CHECK(reading("volume_l", "9e999").starts_with("refused: CHECK")); // infinity
    CHECK(reading("volume_l", "-1").starts_with("refused: CHECK"));
    CHECK(reading("volume_l", "'much'").starts_with("refused: cannot store TEXT"));
    CHECK(reading("ph", "14").starts_with("refused: CHECK"));
    CHECK(reading("at", "'24:00'").starts_with("refused: CHECK"));
    CHECK(ledger.booked("(3, 2, '2026-02-02', 'count', 9e999 - 9e999)").starts_with("refused: NOT NULL")); // NaN
    CHECK(ledger.booked("(3, 2, '2026-02-02', 'count', 0.5)").starts_with("refused: cannot store REAL"));
    CHECK(ledger.booked("(3, 2, '2026-02-02', 'stolen', -1)").starts_with("refused: CHECK"));
    CHECK(ledger.booked("(3, 2, '2026-02-02', 'discard', 1)").starts_with("refused: CHECK"));
    CHECK(ledger.booked("(3, 2, '2026-02-02', 'receipt', -1)").starts_with("refused: CHECK"));
    CHECK(ledger.run("INSERT INTO item (name) VALUES (' pale')").starts_with("refused: CHECK"));
}

TEST_CASE("a reversal is equal, opposite, of the same day, and the only one") {
    const Used ledger;
    const auto reverse = [&](const std::string& values) {
        return ledger.run(
            "INSERT INTO movement (entry_id, lot_id, on_date, kind, change, reverses_movement_id) VALUES (3, " +
            values + ")");
    };
    const auto use = ledger.run("SELECT movement_id FROM movement WHERE kind = 'brew'");
    const std::string refused = "refused: movement: a reversal is equal, opposite and of the same day";
    CHECK(reverse("2, '2026-02-01', 'reversal', 19000000, " + use) == refused);
    CHECK(reverse("2, '2026-02-02', 'reversal', 20000000, " + use) == refused);
    CHECK(reverse("1, '2026-02-01', 'reversal', 20000000, " + use) == refused);
    CHECK(reverse("2, '2026-02-01', 'count', 20000000, " + use).starts_with("refused: CHECK"));
    CHECK(reverse("2, '2026-02-01', 'reversal', 20000000, NULL").starts_with("refused: CHECK"));
    CHECK(reverse("2, '2026-02-01', 'reversal', 20000000, 999") ==
          "refused: movement: what it takes back is not there");
    CHECK(reverse("2, '2026-02-01', 'reversal', 20000000, " + use).empty());
    CHECK(reverse("2, '2026-02-01', 'reversal', 20000000, " + use) == "refused: movement: taken back twice");
    CHECK(reverse("2, '2026-02-01', 'reversal', -20000000, " + use + " + 1") == refused); // of a reversal
    const auto entry = [&](const std::string& values) {
        return ledger.run("INSERT INTO reversal VALUES (" + values + ")");
    };
    CHECK(entry("3, 2").starts_with("refused: reversal: only an entry of kind reverse"));
    CHECK(entry("2, 1") == "refused: reversal: rows are booked under the newest entry");
}

TEST_CASE("a lot and a brew have one live head, a reading one live id, a plan one brew") {
    const Used ledger;
    CHECK(ledger.run("INSERT INTO lot_detail (lot_id, entry_id, item, received, mass_mg) VALUES (2, 3, 'pale malt', "
                     "'2026-02-02', 5)") == "refused: lot_detail: the lot is there already");
    CHECK(
        ledger.run("INSERT INTO brew_head (brew_id, entry_id, date, brewhouse) VALUES (1, 3, '2026-02-02', 'main')") ==
        "refused: brew_head: the brew is there already");
    CHECK(ledger.run("INSERT INTO reading (brew_id, entry_id, id, point) VALUES (1, 3, 'r1', 'mash')") ==
          "refused: reading: the brew has one of this id");
    CHECK(
        ledger.run("INSERT INTO lot (code, measure) VALUES ('N-1', 'count'); INSERT INTO lot_detail (lot_id, entry_id, "
                   "item, received, mass_mg) VALUES (last_insert_rowid(), 3, 'pale malt', '2026-02-02', 5)") ==
        "refused: lot_detail: the lot is of another measure");
    CHECK(ledger.run(
              "INSERT INTO brew (code) VALUES ('B8'), ('B9'); INSERT INTO brew_head (brew_id, entry_id, date, plan, "
              "brewhouse) SELECT brew_id, 3, '2026-02-02', 'PL-1', 'main' FROM brew WHERE code LIKE 'B_' AND code > "
              "'B1'") == "refused: brew_head: the plan has been brewed already");
}
