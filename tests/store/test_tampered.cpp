// A ledger from a stranger, or one that somebody wrote to with another tool: what the program takes it for.
#include "../../src/store/file/schema.hpp"
#include "../../src/store/file/sqlite.hpp"
#include "../../src/store/file/verify.hpp"
#include "ledger_support.hpp"
#include <algorithm>
#include <chrono>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <initializer_list>
#include <lotwort/store/embedded.hpp>
#include <set>
#include <sqlite3.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// Every kind of record, and every table with a row in it.
void make_full_ledger(const std::string& file) {
    auto ledger = stocked_ledger(file);
    Brew brew = brew_of("B1", "2026-02-01", {mash("P-1", 4.5), mash("W-1", 0.5)});
    brew.readings.emplace_back().volume = Litres(23.0);
    brew.readings.emplace_back().volume = Litres(22.0);
    brew.readings.back().set_aside = "foam";
    (void)ledger.append(with(brew), head(EntryKind::brew, "2026-02-01"));
    (void)ledger.append(with(movement_of(MovementKind::discard, "W-1", "2026-02-02", -1.0)),
                        head(EntryKind::discard, "2026-02-02"));
    (void)ledger.reverse(4, head(EntryKind::reverse, "2026-02-03"));
    auto lot = ledger.lot("W-1")->lot;
    lot.held = "wet";
    lot.opened = day("2026-02-03");
    (void)ledger.append(with(lot), head(EntryKind::hold, "2026-02-03"));
    Lot share = lot_of("P-2", lot.item, "2026-02-04", 1.0);
    share.item = ledger.lot("P-1")->lot.item;
    share.made_from.push_back({"P-1", Amount::of(Kilograms(1.0))});
    (void)ledger.append(with(share), head(EntryKind::split, "2026-02-04"));
    Brew again = brew_of("B2", "2026-02-05", {mash("P-1", 1.0)});
    (void)ledger.append(with(again), head(EntryKind::brew, "2026-02-05"));
    Brew third = brew_of("B3", "2026-02-05", {mash("P-1", 1.0)});
    (void)ledger.append(with(third), head(EntryKind::brew, "2026-02-05"));
    Book filled;
    filled.packages.push_back(run_of("B3-1", "B3", "2026-02-20", 40));
    filled.packages.front().sent = {{day("2026-02-21"), "the inn", 12}, {day("2026-02-22"), "the inn", -2}};
    third.additions = {mash("P-1", 0.1)};
    third.additions.front().stage = Stage::fermenter;
    third.additions.front().package = "B3-1";
    filled.brews.push_back(third);
    (void)ledger.append(filled, head(EntryKind::package, "2026-02-20"));
    again.abandoned = "stuck mash";
    (void)ledger.append(with(again), head(EntryKind::brew, "2026-02-05"));
}

std::vector<std::string> list(store::Connection& connection, const std::string& query) {
    std::vector<std::string> texts;
    for (store::Query rows(connection, query); rows.next();) texts.push_back(rows.read_text());
    return texts;
}

// What could stand in a column instead, as SQL: nothing, something near, and what another row has.
std::vector<std::string> others(store::Connection& connection, const std::string& table, const std::string& column) {
    std::vector<std::string> all{
        "NULL", column + " + 1", column + " + 1000", column + " || 'x'", "date(" + column + ", '+1 day')", "1", "'x'"};
    for (const auto& value :
         list(connection, fmt::format("SELECT DISTINCT quote({0}) FROM {1} LIMIT 3", column, table)))
        all.push_back(value);
    return all;
}

// Changes one column of one row, its guards off; false where the row cannot hold that, or holds it already.
bool change(store::Connection& connection, const std::string& table, const std::string& column, const std::string& to,
            int row) {
    const auto of_row = fmt::format("({0}) IN (SELECT {0} FROM {1} LIMIT 1 OFFSET {2})",
                                    fmt::join(list(connection, fmt::format("SELECT '\"' || name || '\"' FROM "
                                                                           "pragma_table_info('{}') WHERE pk > 0",
                                                                           table)),
                                              ", "),
                                    table, row);
    const auto update = fmt::format("UPDATE {0} SET {1} = {2} WHERE {3} AND {1} IS NOT {2}", table, column, to, of_row);
    return sqlite3_exec(connection.handle(), update.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK &&
           sqlite3_changes(connection.handle()) > 0;
}

std::string refused(const std::string& file) {
    return refusal([&] { (void)Ledger(file, Access::read).stock(); });
}

} // namespace

TEST_CASE("each column of each table, changed in any row, is found by verify") {
    Folder folder;
    const auto file = folder.file("l");
    make_full_ledger(file);
    store::Connection connection(file, store::OpenAs::write, file);
    REQUIRE(store::find_faults(connection, embedded_migrations()).empty());
    connection.execute("PRAGMA foreign_keys = OFF");
    sqlite3_db_config(connection.handle(), SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
    int changes = 0;
    std::set<std::string> unchanged; // nothing else fits in there
    for (const auto& table : list(connection, "SELECT name FROM pragma_table_list WHERE type = 'table' AND schema = "
                                              "'main' AND name NOT LIKE 'sqlite%' ORDER BY name")) {
        const auto rows = connection.integer("SELECT count(*) FROM " + table);
        CHECK_MESSAGE(rows > 0, table, " has no row");
        for (const auto& name : list(connection, fmt::format("SELECT name FROM pragma_table_info('{}')", table))) {
            const auto column = '"' + name + '"';
            const int before = changes;
            for (int row = 0; row < static_cast<int>(std::min<std::int64_t>(rows, 2)); ++row)
                for (const auto& to : others(connection, table, column)) {
                    connection.execute("SAVEPOINT whole; PRAGMA ignore_check_constraints = ON");
                    const bool changed = change(connection, table, column, to, row);
                    connection.execute("PRAGMA ignore_check_constraints = OFF");
                    if (changed) {
                        ++changes;
                        const bool found = !store::find_faults(connection, embedded_migrations()).empty();
                        CHECK_MESSAGE(found, table, ".", name, " of row ", row, " = ", to);
                    }
                    connection.execute("ROLLBACK TO whole; RELEASE whole");
                }
            if (changes == before) unchanged.insert(table + "." + name);
        }
    }
    CHECK(changes > 1000);
    CHECK_MESSAGE(unchanged.empty(), fmt::format("nothing else fits in {}", fmt::join(unchanged, ", ")));
}

TEST_CASE("what went into a brew, taken back under the entry of another brew, is found") {
    Folder folder;
    const auto file = folder.file("l");
    auto ledger = stocked_ledger(file);
    (void)ledger.append(with(brew_of("B1", "2026-02-01", {mash("P-1", 4.5)})), head(EntryKind::brew, "2026-02-01"));
    (void)ledger.append(with(brew_of("B2", "2026-02-01", {mash("P-1", 1.0)})), head(EntryKind::brew, "2026-02-01"));
    const auto says = [&](std::string_view where, std::string_view what) {
        const auto faults = ledger.verify();
        return std::ranges::any_of(faults, [&](const LedgerFault& f) { return f.where == where && f.what == what; });
    };
    const char* const another = "it takes back movements of another entry than it names";
    CHECK(!says("entry 4", another));
    CHECK(sql(file,
              "INSERT INTO movement (entry_id, lot_id, on_date, kind, change, reverses_movement_id) "
              "SELECT 4, lot_id, on_date, 'reversal', -change, movement_id FROM movement WHERE entry_id = 3") == "");
    CHECK(says("entry 4", another));
}

TEST_CASE("more that came back from a brew than went into it is found") {
    Folder folder;
    const auto file = folder.file("l");
    auto ledger = stocked_ledger(file);
    Brew brew = brew_of("B1", "2026-02-01", {mash("P-1", 4.5)});
    (void)ledger.append(with(brew), head(EntryKind::brew, "2026-02-01"));
    brew.additions.clear();
    brew.abandoned = "stuck";
    brew.unused = {{"P-1", Amount::of(Kilograms(4.5)), day("2026-02-02")}};
    (void)ledger.append(with(brew), head(EntryKind::brew, "2026-02-02"));
    CHECK(ledger.verify().empty());
    CHECK(sql(file, "INSERT INTO movement (entry_id, lot_id, on_date, kind, change, brew_id) "
                    "SELECT 4, lot_id, on_date, 'unused', 1, brew_id FROM movement WHERE entry_id = 3") == "");
    const auto faults = ledger.verify();
    CHECK(std::ranges::any_of(faults, [](const LedgerFault& f) {
        return f.where == "brew B1" && f.what == "more of a lot comes back from it than went in";
    }));
}

TEST_CASE("a ledger whose guards are gone, or whose tables are views, is refused before anything of it is read") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    const std::string endless = "WITH RECURSIVE on_and_on (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM on_and_on) ";
    struct Tampered {
        const char* name;
        std::string script;
        std::string says;
    };
    for (const auto& [name, script, says] : std::initializer_list<Tampered>{
             {"a guard taken away", "DROP TRIGGER movement_no_delete", "the trigger movement_no_delete is missing"},
             {"a guard that guards nothing",
              "DROP TRIGGER movement_no_delete; CREATE TRIGGER movement_no_delete BEFORE DELETE ON movement BEGIN "
              "SELECT 1; END",
              "the trigger movement_no_delete is not as a ledger has it"},
             {"a trigger of its own",
              "CREATE TRIGGER also AFTER INSERT ON entry BEGIN INSERT INTO item (name) VALUES ('x'); END",
              "the trigger also is not of a ledger"},
             {"a view that lies",
              "DROP VIEW stock_now; CREATE VIEW stock_now AS SELECT 'gold' AS item, 'G-1' AS code, 'mass' AS measure, "
              "1 AS balance, 0 AS promised, 1 AS received_amount, 1 AS price_minor, '2026-01-01' AS received, "
              "NULL AS best_before, NULL AS held",
              "the view stock_now is not as a ledger has it"},
             {"a view that never ends",
              "DROP VIEW stock_now; CREATE VIEW stock_now AS " + endless + "SELECT n AS item FROM on_and_on",
              "the view stock_now is not as a ledger has it"},
             {"a record of migrations that never ends",
              "PRAGMA foreign_keys = OFF; DROP TABLE migration; CREATE VIEW migration AS " + endless +
                  "SELECT n AS migration_id, 'x' AS name, '' AS checksum FROM on_and_on",
              "the view migration is not of a ledger, and "},
             {"a table in a table's place",
              "PRAGMA foreign_keys = OFF; DROP TABLE seal; CREATE TABLE seal (entry_id INTEGER PRIMARY KEY, sha256 "
              "TEXT)",
              "the table seal is not as a ledger has it, and "},
             {"an index that helps nobody", "CREATE INDEX of_mine ON entry (why)",
              "the index of_mine is not of a ledger"},
             {"statistics that mislead", "ANALYZE", "the table sqlite_stat1 is not of a ledger"},
         }) {
        CAPTURE(name);
        const auto copy = folder.file("c");
        std::filesystem::copy_file(file, copy, std::filesystem::copy_options::overwrite_existing);
        CHECK(sql(copy, script).empty());
        const auto before = bytes_of(copy);
        const auto from = std::chrono::steady_clock::now();
        for (const auto access : {Access::read, Access::write}) {
            const auto said = refusal([&] { const Ledger ledger(copy, access); });
            CHECK(said.starts_with("kind 4: the ledger " + copy + " is not as lotwort makes one: " + says));
        }
        const auto faults = Ledger::prove(copy);
        REQUIRE(!faults.empty());
        CHECK(faults.front().where == "schema");
        CHECK(bytes_of(copy) == before);
        CHECK(std::chrono::steady_clock::now() - from < std::chrono::seconds(5));
    }
}

// VACUUM lays it out anew, in another order: it is the same for all that.
TEST_CASE("a ledger that another tool laid out anew is a ledger still") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    CHECK(sql(file, "VACUUM").empty());
    CHECK(refused(file) == "nothing");
    CHECK(Ledger::prove(file).empty());
}
