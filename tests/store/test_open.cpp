// Making, opening, proving and copying ledgers; and what is said where there is none, or none that can be used.
#include "../../src/store/file/migrate.hpp"
#include "../../src/store/file/place.hpp"
#include "ledger_support.hpp"
#include "trials.hpp"
#include <algorithm>
#include <chrono>
#include <doctest/doctest.h>
#include <fstream>
#include <lotwort/store/embedded.hpp>
#include <sqlite3.h>
#include <sys/stat.h>
#include <thread>
#include <unistd.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

std::string opened(const std::string& file, Access access = Access::read) {
    return refusal([&] { const Ledger ledger(file, access); });
}

void write_file(const std::string& file, const std::string& bytes) {
    std::ofstream(file, std::ios::binary) << bytes;
}

std::size_t files_in(const std::string& folder) {
    std::size_t count = 0;
    for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator(folder)) ++count;
    return count;
}

// A write lock held by another connection, as another program would hold it.
class Holder {
public:
    explicit Holder(const std::string& file) {
        REQUIRE(sqlite3_open(file.c_str(), &handle_) == SQLITE_OK);
        REQUIRE(sqlite3_exec(handle_, "BEGIN EXCLUSIVE", nullptr, nullptr, nullptr) == SQLITE_OK);
    }
    ~Holder() { sqlite3_close(handle_); }
    Holder(const Holder&) = delete;
    Holder& operator=(const Holder&) = delete;

private:
    sqlite3* handle_ = nullptr;
};

Book discard() {
    return with(movement_of(MovementKind::discard, "P-1", "2026-02-01", -1.0));
}

} // namespace

TEST_CASE("a ledger is made once, and only where there is nothing") {
    Folder folder;
    const auto file = folder.file("l");
    Ledger::create(file, "GBP", head(EntryKind::init, "2026-01-01", "made"));
    CHECK(files_in(folder.file("")) == 1);
    CHECK(Ledger(file, Access::read).currency() == "GBP");
    CHECK(Ledger(file, Access::read).entry(1)->head.kind == EntryKind::init);
    const auto before = bytes_of(file);
    const auto create = [](const std::string& where) {
        return refusal([&] { Ledger::create(where, "GBP", head(EntryKind::init, "2026-01-01")); });
    };
    CHECK(create(file) == "kind 4: " + file + " exists already / use it as it is, or name another file with --ledger");
    CHECK(bytes_of(file) == before);
    CHECK(create(folder.file("none/l")).starts_with("kind 4: there is no folder " + folder.file("none")));
    CHECK(create("/proc/lotwort-ledger").starts_with("kind 4: /proc/lotwort-ledger cannot be written"));
    CHECK(files_in(folder.file("")) == 1); // nothing left of the attempts
}

TEST_CASE("no ledger, another kind of file, an empty one, a folder: each is told apart and left as it is") {
    Folder folder;
    CHECK(opened(folder.file("l")) == "kind 4: there is no ledger " + folder.file("l") +
                                          " / `lotwort init` makes one; --ledger PATH or LOTWORT_LEDGER names another");
    CHECK(opened(folder.file("none/l")).starts_with("kind 4: there is no ledger"));
    CHECK(opened(folder.file("")).starts_with("kind 4: " + folder.file("") + " is no ledger, it is a folder"));
    const auto file = folder.file("l");
    write_file(file, "");
    CHECK(opened(file, Access::write).starts_with("kind 4: " + file + " is no ledger, it is empty"));
    const std::string text(3000, 'x');
    write_file(file, text);
    CHECK(opened(file, Access::write) == "kind 4: " + file + " is no ledger / name the right file with --ledger");
    CHECK(bytes_of(file) == text);
    std::filesystem::remove(file);
    { // a database of something else
        sqlite3* handle = nullptr;
        sqlite3_open(file.c_str(), &handle);
        sqlite3_exec(handle, "CREATE TABLE address (name TEXT); PRAGMA user_version = 1", nullptr, nullptr, nullptr);
        sqlite3_close(handle);
    }
    const auto before = bytes_of(file);
    CHECK(opened(file, Access::write).starts_with("kind 4: " + file + " is no ledger / name the right file"));
    CHECK(bytes_of(file) == before);
    CHECK(files_in(folder.file("")) == 1);
}

TEST_CASE("a path is a path, not one of the database's special names") {
    Folder folder;
    const auto before = std::filesystem::current_path();
    std::filesystem::current_path(folder.file(""));
    for (const std::string name : {":memory:", "file:l?mode=memory", "l?x=1#y"}) {
        (void)stocked_ledger(name);
        CHECK(Ledger(name, Access::read).stock().size() == 4);
        CHECK(std::filesystem::exists(folder.file(name)));
    }
    std::filesystem::current_path(before);
}

TEST_CASE("a ledger that another tool has set to a write-ahead log is read, and set back by who writes") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    CHECK(sql(file, "PRAGMA journal_mode = WAL") == "wal");
    CHECK(Ledger(file, Access::read).stock().size() == 4);
    CHECK(Ledger(file, Access::write).append(discard(), head(EntryKind::discard, "2026-02-01")).number == 3);
    CHECK(sql(file, "PRAGMA journal_mode") == "delete");
    CHECK(files_in(folder.file("")) == 1);
}

TEST_CASE("a network file system is known by its number") {
    CHECK(store::network_name(0x6969) == "NFS");     // NFS_SUPER_MAGIC, linux/magic.h
    CHECK(store::network_name(0xFF534D42) == "SMB"); // CIFS_SUPER_MAGIC
    CHECK(store::network_name(0xEF53).empty());      // EXT4_SUPER_MAGIC
    CHECK(store::network_name(0x01021994).empty());  // TMPFS_MAGIC
    CHECK(store::network_under("/proc/version").empty());
}

TEST_CASE("a newer program's ledger is left alone") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    const auto known = embedded_migrations().size();
    CHECK(sql(file, "PRAGMA user_version = " + std::to_string(known + 1)).empty());
    const auto before = bytes_of(file);
    for (const auto access : {Access::read, Access::write})
        CHECK(opened(file, access) ==
              "kind 4: the ledger " + file + " was made by a newer lotwort (its schema is number " +
                  std::to_string(known + 1) + ", this program knows up to " + std::to_string(known) +
                  ") / use the newer program; the file was left as it is");
    CHECK(bytes_of(file) == before);
}

TEST_CASE("a damaged ledger is refused, or its damage found by verify, and it is left as it is") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    auto bytes = bytes_of(file);
    SUBCASE("cut short") {
        bytes.resize(bytes.size() / 2);
        write_file(file, bytes);
        CHECK(opened(file).starts_with("kind 4: the ledger " + file + " is damaged ("));
    }
    SUBCASE("its schema overwritten") {
        for (std::size_t i = 100; i < 4096; ++i) bytes[i] = 'x';
        write_file(file, bytes);
        CHECK(opened(file).starts_with("kind 4: the ledger " + file + " is damaged ("));
    }
    SUBCASE("its beginning overwritten") {
        for (std::size_t i = 0; i < 100; ++i) bytes[i] = 'x';
        write_file(file, bytes);
        CHECK(opened(file).starts_with("kind 4: " + file + " is no ledger"));
    }
    SUBCASE("a page of rows overwritten") {
        const auto page = std::stoul(sql(file, "SELECT rootpage FROM sqlite_schema WHERE name = 'lot_detail'"));
        for (std::size_t i = (page - 1) * 4096; i < page * 4096; ++i) bytes[i] = 'x';
        write_file(file, bytes);
        const Ledger ledger(file, Access::read);
        REQUIRE(!ledger.verify().empty());
        CHECK(ledger.verify()[0].where == "file");
        CHECK(refusal([&] { (void)ledger.stock(); }).starts_with("kind 4: the ledger " + file + " is damaged ("));
        CHECK(refusal([&] { ledger.backup(folder.file("b")); }).starts_with("kind 4: "));
        CHECK(!std::filesystem::exists(folder.file("b")));
    }
    CHECK(bytes_of(file) == bytes);
}

TEST_CASE("a byte of a small ledger changed: it is refused, or verify finds it, or nothing exported differs") {
    const auto flipped = flip_bytes(700, 3);
    MESSAGE("of 700: ", flipped.refused, " refused, ", flipped.found, " found, ", flipped.of_no_account,
            " of no account");
    CHECK(flipped.refused > 100); // most of a young ledger is its schema
    CHECK(flipped.found > 10);
    CHECK(flipped.of_no_account > 10);
}

TEST_CASE("every byte of a small ledger may be struck out: an answer or a refusal, never a crash") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    const auto bytes = bytes_of(file);
    for (std::size_t at = 0; at < bytes.size(); at += 1997) { // some 250 places
        auto struck = bytes;
        for (std::size_t i = at; i < std::min(at + 8, bytes.size()); ++i) struck[i] = static_cast<char>(~struck[i]);
        write_file(file, struck);
        try {
            const Ledger ledger(file, Access::read);
            (void)ledger.verify();
            (void)ledger.stock();
            (void)ledger.book();
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::ledger);
        } catch (const std::exception& error) {
            CHECK_MESSAGE(false, "struck at ", at, ": ", std::string(error.what()));
        }
        CHECK(bytes_of(file) == struck);
    }
}

TEST_CASE("reading changes no byte and makes no file") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    const auto before = bytes_of(file);
    const auto when = std::filesystem::last_write_time(file);
    {
        const Ledger ledger(file, Access::read);
        (void)ledger.stock();
        (void)ledger.book();
        (void)ledger.history({});
        CHECK(ledger.verify().empty());
        CHECK(files_in(folder.file("")) == 1);
        Ledger reader(file, Access::read);
        CHECK(refusal([&] {
                  (void)reader.append(discard(), head(EntryKind::discard, "2026-02-01"));
              }).starts_with("kind 4: the ledger " + file + " or its folder cannot be written"));
    }
    CHECK(bytes_of(file) == before);
    CHECK(std::filesystem::last_write_time(file) == when);
}

TEST_CASE("a ledger that may only be read is read, and a command that writes says so at once") {
    if (::geteuid() == 0) return; // root may write everything
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    ::chmod(file.c_str(), 0444);
    CHECK(Ledger(file, Access::read).stock().size() == 4);
    CHECK(opened(file, Access::write).starts_with("kind 4: the ledger " + file + " or its folder cannot be written"));
}

TEST_CASE("another program's lock is waited for, and named when it stays") {
    Folder folder;
    const auto file = folder.file("l");
    auto ledger = stocked_ledger(file);
    SUBCASE("it goes away") {
        auto holder = std::make_unique<Holder>(file);
        std::thread release([&] {
            std::this_thread::sleep_for(std::chrono::milliseconds(300));
            holder.reset();
        });
        CHECK(ledger.append(discard(), head(EntryKind::discard, "2026-02-01")).number == 3);
        release.join();
    }
    SUBCASE("it stays") {
        const Holder holder(file);
        const auto start = std::chrono::steady_clock::now();
        CHECK(refusal([&] { (void)ledger.append(discard(), head(EntryKind::discard, "2026-02-01")); }) ==
              "kind 4: another program holds the ledger " + file + " / try again when it has finished");
        CHECK(std::chrono::steady_clock::now() - start > std::chrono::milliseconds(4500));
    }
}

TEST_CASE("an older ledger is brought up to date when it is opened to write, and read as it stands otherwise") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    const auto known = static_cast<std::int64_t>(embedded_migrations().size());
    const auto and_then = [](std::vector<EmbeddedText> all, EmbeddedText last) {
        all.push_back(last);
        return all;
    };
    const auto next =
        and_then(embedded_migrations(), {"next_note", "CREATE TABLE note (note_id INTEGER PRIMARY KEY) STRICT;"});
    store::Connection connection(file, store::OpenAs::write, file);
    CHECK(store::is_older(connection, next));
    store::migrate(connection, next);
    CHECK(!store::is_older(connection, next));
    CHECK(connection.integer("SELECT count(*) FROM note") == 0);
    CHECK(connection.integer("SELECT count(*) FROM migration") == known + 1);
    CHECK(connection.integer("PRAGMA user_version") == known + 1);
    store::migrate(connection, next); // nothing left to do
    CHECK(connection.integer("SELECT count(*) FROM migration") == known + 1);

    const auto broken = and_then(next, {"after_bad", "CREATE TABLE half (x); CREATE TABLE note (y);"});
    CHECK_THROWS(store::migrate(connection, broken));
    CHECK(connection.integer("SELECT count(*) FROM sqlite_schema WHERE name = 'half'") == 0); // all of it or nothing
    CHECK(connection.integer("PRAGMA user_version") == known + 1);
    const auto orphan =
        and_then(next, {"after_orphan", "CREATE TABLE leaf (note_id INTEGER REFERENCES note); "
                                        "PRAGMA defer_foreign_keys = ON; INSERT INTO leaf VALUES (7);"});
    CHECK(refusal([&] { store::migrate(connection, orphan); }).find("after_orphan leaves a row of leaf without") !=
          std::string::npos);
    CHECK(connection.integer("SELECT count(*) FROM sqlite_schema WHERE name = 'leaf'") == 0);
}

TEST_CASE("verify finds what was changed behind the program's back") {
    Folder folder;
    const auto file = folder.file("l");
    {
        auto ledger = stocked_ledger(file);
        (void)ledger.append(discard(), head(EntryKind::discard, "2026-02-01"));
        (void)ledger.reverse(3, head(EntryKind::reverse, "2026-02-02"));
        CHECK(ledger.verify().empty());
    }
    const auto faults = [&] {
        std::string text;
        for (const auto& fault : Ledger::prove(file)) text += fault.where + ": " + fault.what + "\n";
        return text;
    };
    const auto unsealed = [](int entry) {
        return "entry " + std::to_string(entry) +
               ": it is not as it was booked: its rows, or a seal, were changed behind the program's back\n";
    };
    const auto without = [&](const std::string& trigger, const std::string& change) {
        const auto text = sql(file, "SELECT sql FROM sqlite_schema WHERE name = '" + trigger + "'");
        CHECK(sql(file, "DROP TRIGGER " + trigger + "; " + change + "; " + text).empty());
    };
    SUBCASE("a guard taken away") {
        CHECK(sql(file, "DROP TRIGGER movement_no_delete").empty());
        CHECK(faults() == "schema: the trigger movement_no_delete is missing\n");
    }
    SUBCASE("a table put in") {
        CHECK(sql(file, "CREATE TABLE extra (x)").empty());
        CHECK(faults() == "schema: the table extra is not of a ledger\n");
    }
    SUBCASE("a movement altered, and the guard put back") {
        without("movement_no_update", "UPDATE movement SET change = -2000000 WHERE kind = 'discard'");
        CHECK(faults() == "lot P-1: its balance is not the sum of its movements\n"
                          "movement 6: it is not exactly opposite to what it takes back\n" +
                              unsealed(3));
    }
    SUBCASE("a balance altered") {
        without("lot_balance_follows", "UPDATE lot_balance SET balance = 26000000 WHERE lot_id = 2");
        CHECK(faults() == "lot P-1: its balance is not the sum of its movements\n");
    }
    SUBCASE("an entry's day moved so that a lot was used before it came") {
        without("movement_no_update",
                "UPDATE movement SET on_date = '2026-01-02' WHERE kind IN ('discard', 'reversal')");
        // returned on the day: sound else
        CHECK(faults() == "lot P-1: its newest day is not that of its movements\n" + unsealed(3) + unsealed(4));
        without("movement_no_update", "UPDATE movement SET on_date = '2026-01-03' WHERE kind = 'reversal'");
        CHECK(faults() == "lot P-1: its newest day is not that of its movements\n"
                          "lot P-1: it falls below nothing at the end of a day\n"
                          "movement 6: it is not exactly opposite to what it takes back\n" +
                              unsealed(3) + unsealed(4));
    }
    SUBCASE("a reversal without its movements") {
        without("movement_no_delete", "DELETE FROM movement WHERE kind = 'reversal'");
        CHECK(faults() == "lot P-1: its balance is not the sum of its movements\n"
                          "lot P-1: its last movement is another than its balance says\n"
                          "entry 3: it is taken back, and a movement of it is not\n" +
                              unsealed(4));
    }
    SUBCASE("a migration's checksum") {
        without("migration_no_update", "UPDATE migration SET checksum = replace(checksum, substr(checksum, 1, 1), 'z') "
                                       "WHERE migration_id = 1");
        CHECK(faults() == "migration 0001_ledger: its checksum is not that of this program's migration\n");
    }
    SUBCASE("a row whose lot is gone") {
        without("retest_no_update", "PRAGMA foreign_keys = OFF; UPDATE retest SET lot_id = 77");
        CHECK(faults() == "retest 1: what it refers to in lot is not there\n" + unsealed(2));
    }
}

TEST_CASE("a backup is a whole ledger, made while the ledger is in use") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    const auto copy = folder.file("b");
    ledger.backup(copy);
    CHECK(Ledger(copy, Access::read).book() == ledger.book());
    (void)ledger.append(discard(), head(EntryKind::discard, "2026-02-01"));
    CHECK(Ledger(copy, Access::read).lot("P-1")->on_hand == Amount::of(Kilograms(25.0)));
    const auto there = refusal([&] { ledger.backup(copy); });
    CHECK(there ==
          "kind 4: " + copy + " exists already / name another file, or put the new copy in its place with --replace");
    ledger.backup(copy, Ledger::Replace::yes); // over an earlier one
    CHECK(Ledger(copy, Access::write).lot("P-1")->on_hand == Amount::of(Kilograms(24.0)));
    CHECK(Ledger(copy, Access::read).verify().empty());
    CHECK(files_in(folder.file("")) == 2);

    const auto refused = [&](const std::string& path) { return refusal([&] { ledger.backup(path); }); };
    CHECK(refused(folder.file("l")) == "kind 4: " + folder.file("l") + " is the ledger itself / name another file");
    write_file(folder.file("recipe.toml"), "name = \"stout\"");
    CHECK(refused(folder.file("recipe.toml")) ==
          "kind 4: " + folder.file("recipe.toml") +
              " is there already and is no backup of a ledger / name another file");
    CHECK(bytes_of(folder.file("recipe.toml")) == "name = \"stout\"");
    CHECK(refused(folder.file("")).starts_with("kind 4: " + folder.file("") + " is a folder"));
    CHECK(refused(folder.file("none/b")).starts_with("kind 4: there is no folder " + folder.file("none")));
}

TEST_CASE("a backup copied back in the ledger's place is the ledger as it was, and goes on from there") {
    Folder folder;
    const auto file = folder.file("l");
    Book then;
    {
        auto ledger = stocked_ledger(file);
        ledger.backup(folder.file("b"));
        then = ledger.book();
        (void)ledger.append(discard(), head(EntryKind::discard, "2026-02-01"));
    }
    const auto seal = Ledger(folder.file("b"), Access::read).newest_seal();
    REQUIRE(seal);
    std::filesystem::rename(file, folder.file("put-away"));
    std::filesystem::copy_file(folder.file("b"), file);
    Ledger ledger(file, Access::write);
    CHECK(ledger.verify().empty());
    CHECK(ledger.book() == then);
    CHECK(ledger.append(discard(), head(EntryKind::discard, "2026-02-01")).number == 3);
    CHECK(ledger.verify().empty());
    CHECK(ledger.entry_sealed(seal->digits) == 2); // what was booked until the backup is what it was
    // the ledger that was put away still holds what came after
    CHECK(Ledger(folder.file("put-away"), Access::read).entry(3));
}
