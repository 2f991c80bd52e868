// The moment of booking: interrupted, or the ledger replaced under it, or the disk failing in its last step.
#include "fault_vfs.hpp"
#include "ledger_support.hpp"
#include <atomic>
#include <doctest/doctest.h>
#include <functional>
#include <sqlite3.h>
#include <utility>

using namespace lotwort;
using namespace lotwort::test;

namespace {

namespace fs = std::filesystem;

// Does something once, in the middle of what a ledger is at: as a statement begins that has these words.
struct Watched {
    std::string words;
    std::function<void()> act;
} watched;

int look_at(unsigned, void*, void* statement, void*) {
    const std::string_view sql = sqlite3_sql(static_cast<sqlite3_stmt*>(statement));
    if (watched.act && sql.find(watched.words) != sql.npos) std::exchange(watched.act, {})();
    return 0;
}

// Every ledger that is opened meanwhile is watched.
class Watch {
public:
    Watch() { sqlite3_auto_extension(entry()); }
    ~Watch() { sqlite3_cancel_auto_extension(entry()); }
    Watch(const Watch&) = delete;
    Watch& operator=(const Watch&) = delete;

private:
    static int begin(sqlite3* ledger, const char**, const void*) {
        return sqlite3_trace_v2(ledger, SQLITE_TRACE_STMT, look_at, nullptr);
    }
    static void (*entry())() { return reinterpret_cast<void (*)()>(begin); }
};

std::string booked_while(Ledger& ledger, std::function<void()> act) {
    watched = {"INSERT INTO entry", std::move(act)};
    return refusal([&] {
        (void)ledger.append(with(movement_of(MovementKind::discard, "P-1", "2026-02-01", -0.1)),
                            head(EntryKind::discard, "2026-02-01"));
    });
}

struct Stocked {
    Watch watch;
    Folder folder;
    std::string file = folder.file("l");
    Ledger ledger = stocked_ledger(file);
    [[nodiscard]] std::string moved() const {
        return "kind 4: the ledger " + file +
               " was moved or replaced while it was open / nothing was booked: look at "
               "what lies there now, and type it again";
    }
};

} // namespace

TEST_CASE("an interrupt ends a booking that is not in the ledger yet, and leaves nothing of it") {
    Stocked it;
    std::atomic<bool> interrupted = false;
    it.ledger.stop_when(&interrupted);
    const auto before = bytes_of(it.file);
    CHECK(booked_while(it.ledger, [&] { interrupted = true; }) == "kind 1: interrupted / nothing was booked");
    CHECK(bytes_of(it.file) == before);
    CHECK(!fs::exists(it.file + "-journal"));
    CHECK(it.ledger.entry(2)); // looking goes on
    interrupted = false;
    CHECK(booked_while(it.ledger, [] {}) == "nothing");
    interrupted = true; // too late
    CHECK(it.ledger.entry(3));
}

TEST_CASE("who reads the whole ledger keeps nobody from booking, and reads one state of it") {
    Stocked it;
    const Ledger reader(it.file, Access::read);
    std::string said;
    watched = {"FROM movement", [&] { said = booked_while(it.ledger, [] {}); }};
    CHECK(reader.book().movements.empty()); // what was booked meanwhile is of a later state
    CHECK(said == "nothing");
    CHECK(reader.book().movements.size() == 1);
}

TEST_CASE("what is booked into a ledger that lost its name to another file is refused, and both stay") {
    Stocked it;
    const auto aside = it.folder.file("aside");
    const auto before = bytes_of(it.file);
    SUBCASE("before it is booked") {
        fs::rename(it.file, aside);
        fs::copy_file(aside, it.file);
        CHECK(booked_while(it.ledger, [] {}) == it.moved());
    }
    SUBCASE("while it is booked") {
        CHECK(booked_while(it.ledger, [&] {
                  fs::rename(it.file, aside);
                  fs::copy_file(aside, it.file);
              }) == it.moved());
    }
    SUBCASE("removed while it is booked") {
        fs::create_hard_link(it.file, aside);
        CHECK(booked_while(it.ledger, [&] { fs::remove(it.file); }) == it.moved());
        fs::copy_file(aside, it.file);
    }
    CHECK(bytes_of(it.file) == before);
    CHECK(bytes_of(aside) == before);
}

TEST_CASE("a ledger that is named by a link is missed as soon as the link leads elsewhere") {
    Stocked it;
    const auto link = it.folder.file("link"), other = it.folder.file("other");
    fs::copy_file(it.file, other);
    fs::create_symlink(it.file, link);
    Ledger ledger(link, Access::write);
    CHECK(booked_while(ledger, [] {}) == "nothing");
    const auto said = booked_while(ledger, [&] {
        fs::remove(link);
        fs::create_symlink(other, link);
    });
    CHECK(said.starts_with("kind 4: the ledger " + link + " was moved or replaced"));
    CHECK(!Ledger(other, Access::read).entry(3));
    CHECK(!Ledger(it.file, Access::read).entry(4));
}

// Then all of it is written, and the journal gone: only a power failure could still take it back.
TEST_CASE("the folder's last flush fails once: it is flushed again, and what is booked is called booked") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    FaultyDisk disk;
    int unflushed = 0;
    for (int operation = 1; operation < 40; ++operation) {
        Ledger ledger(file, Access::write);
        disk.fail(operation, Failing::unflushed);
        const auto newest = ledger.history({}).front().number;
        const auto said = booked_while(ledger, [] {});
        unflushed += disk.failed() ? 1 : 0;
        disk.heal();
        INFO(operation, ": ", said);
        CHECK(said == "nothing");
        CHECK(Ledger(file, Access::read).history({}).front().number == newest + 1);
    }
    CHECK(unflushed > 0);
    CHECK(Ledger(file, Access::read).verify().empty());
}
