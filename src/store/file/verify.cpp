#include "verify.hpp"
#include "migrate.hpp"
#include "schema.hpp"
#include "seal.hpp"
#include "sha256.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <sqlite3.h>

namespace lotwort::store {

namespace {

using Faults = std::vector<LedgerFault>;

// What the database engine found, in words that say what it means for the ledger.
LedgerFault file_fault(const std::string& found) {
    const auto says = [&](std::string_view words) { return found.find(words) != found.npos; };
    const auto last_word = [&] { return found.substr(found.find_last_of(' ') + 1); };
    if (says("CHECK constraint failed")) return {last_word(), "a row of it holds what no row may hold"};
    if (says("NULL value in")) return {last_word(), "a row of it has no value there"};
    if (says(" index ")) return {"file", fmt::format("the index {} does not fit the rows it points to", last_word())};
    return {"file", "its pages do not hang together: rows may be lost or doubled"};
}

void check_file(Connection& connection, Faults& faults) {
    Query integrity(connection, "PRAGMA integrity_check");
    while (integrity.next()) {
        const auto text = integrity.read_text();
        if (text == "ok") continue;
        LedgerFault fault = file_fault(text);
        const bool told = std::ranges::any_of(
            faults, [&](const LedgerFault& f) { return f.where == fault.where && f.what == fault.what; });
        if (!told) faults.push_back(std::move(fault));
    }
    Query keys(connection, "PRAGMA foreign_key_check");
    while (keys.next()) {
        const auto table = keys.read_text();
        const auto row = keys.read_integer();
        faults.push_back(
            {fmt::format("{} {}", table, row), fmt::format("what it refers to in {} is not there", keys.read_text())});
    }
}

void check_migrations(Connection& connection, const std::vector<EmbeddedText>& migrations, std::size_t count,
                      Faults& faults) {
    Query recorded(connection, "SELECT name, checksum, migration_id FROM migration ORDER BY migration_id");
    for (std::size_t i = 0; recorded.next() && i < count; ++i) {
        const auto name = recorded.read_text();
        if (name != migrations[i].name) faults.push_back({"migration " + name, "this program's is called otherwise"});
        if (recorded.read_text() != sha256(migrations[i].text))
            faults.push_back({"migration " + name, "its checksum is not that of this program's migration"});
        if (recorded.read_integer() != static_cast<std::int64_t>(i + 1))
            faults.push_back({"migration " + name, "its number is another"});
    }
}

struct Rule {
    std::string_view where; // what the query's first column numbers
    std::string_view what;
    std::string_view sql; // rows that break it
};

constexpr std::array rules{
    Rule{"lot", "its balance is not the sum of its movements",
         "SELECT code FROM lot LEFT JOIN lot_balance USING (lot_id) WHERE balance IS NOT "
         "(SELECT ifnull(sum(change), 0) FROM movement WHERE movement.lot_id = lot.lot_id)"},
    Rule{"lot", "its newest day is not that of its movements",
         "SELECT code FROM lot LEFT JOIN lot_balance USING (lot_id) WHERE newest_on IS NOT "
         "(SELECT ifnull(max(on_date), '') FROM movement WHERE movement.lot_id = lot.lot_id)"},
    Rule{"lot", "its last movement is another than its balance says",
         "SELECT code FROM lot LEFT JOIN lot_balance USING (lot_id) WHERE movement_id IS NOT "
         "(SELECT ifnull(max(movement_id), 0) FROM movement WHERE movement.lot_id = lot.lot_id)"},
    Rule{"lot", "it falls below nothing at the end of a day",
         "SELECT DISTINCT code FROM lot JOIN (SELECT lot_id, sum(sum(change)) OVER (PARTITION BY lot_id ORDER BY "
         "on_date) "
         "AS balance FROM movement GROUP BY lot_id, on_date) AS day USING (lot_id) WHERE day.balance < 0"},
    Rule{"lot", "it has other than one receipt that stands",
         "SELECT code FROM lot_now WHERE 1 <> (SELECT count(*) FROM movement WHERE movement.lot_id = lot_now.lot_id "
         "AND kind = 'receipt' AND change = coalesce(mass_mg, volume_ul, pieces) AND on_date = received "
         "AND NOT EXISTS (SELECT 1 FROM movement AS answer WHERE answer.reverses_movement_id = movement.movement_id))"},
    Rule{"movement", "it is not exactly opposite to what it takes back",
         "SELECT answer.movement_id FROM movement AS answer JOIN movement AS original "
         "ON original.movement_id = answer.reverses_movement_id WHERE answer.lot_id <> original.lot_id "
         "OR answer.on_date <> original.on_date OR answer.change <> -original.change OR original.kind = 'reversal'"},
    Rule{"entry", "it is taken back, and a movement of it is not",
         "SELECT DISTINCT reverses_entry_id FROM reversal JOIN movement ON movement.entry_id = reverses_entry_id "
         "WHERE kind <> 'reversal' AND NOT EXISTS (SELECT 1 FROM movement AS answer "
         "WHERE answer.reverses_movement_id = movement.movement_id)"},
    Rule{"entry", "it takes back movements of another entry than it names",
         "SELECT DISTINCT answer.entry_id FROM movement AS answer JOIN movement AS original "
         "ON original.movement_id = answer.reverses_movement_id WHERE original.entry_id <> answer.entry_id "
         "AND NOT EXISTS (SELECT 1 FROM reversal WHERE reversal.entry_id = answer.entry_id "
         "AND reverses_entry_id = original.entry_id) "
         // a weight that is corrected: the entry says that this brew goes on
         "AND NOT (original.kind = 'brew' AND EXISTS (SELECT 1 FROM brew_end WHERE brew_end.entry_id = answer.entry_id "
         "AND brew_end.brew_id = original.brew_id))"},
    Rule{"brew", "more of a lot comes back from it than went in",
         "SELECT DISTINCT code FROM movement JOIN brew USING (brew_id) WHERE kind <> 'reversal' "
         "AND NOT EXISTS (SELECT 1 FROM movement AS answer WHERE answer.reverses_movement_id = movement.movement_id) "
         "GROUP BY brew_id, lot_id HAVING sum(change) > 0"},
    Rule{"entry", "it says that it takes an entry back, and names none",
         "SELECT entry_id FROM entry WHERE kind = 'reverse' AND entry_id NOT IN (SELECT entry_id FROM reversal)"},
    Rule{"entry", "the entry before it is missing",
         "SELECT entry_id FROM entry AS this WHERE entry_id > 1 "
         "AND NOT EXISTS (SELECT 1 FROM entry WHERE entry_id = this.entry_id - 1)"},
};

void check_rules(Connection& connection, Faults& faults) {
    for (const auto& rule : rules) {
        Query query(connection, rule.sql);
        while (query.next())
            faults.push_back({fmt::format("{} {}", rule.where, query.read_text()), std::string(rule.what)});
    }
}

} // namespace

std::vector<LedgerFault> find_faults(Connection& connection, const std::vector<EmbeddedText>& migrations) {
    Faults faults;
    try {
        const auto count = migrations_seen(connection, migrations);
        faults = schema_faults(connection, migrations, count);
        if (!faults.empty()) return faults; // what its tables and views would answer is anybody's guess
        check_file(connection, faults);
        check_migrations(connection, migrations, count, faults);
        check_rules(connection, faults);
        check_seals(connection, faults);
    } catch (const Error& error) {
        if (connection.disk_failed()) throw;      // it may be sound: it could not be read
        faults.push_back({"file", error.what()}); // damaged so that it cannot be read to the end
    }
    if (connection.disk_failed()) connection.fail(SQLITE_IOERR_READ);
    return faults;
}

} // namespace lotwort::store
