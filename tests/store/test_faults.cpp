// The power goes, the disk fills, a write fails: at every single point of booking, the ledger afterwards holds
// all of the entry or none of it, and what the program said of it is true.
#include "fault_vfs.hpp"
#include "ledger_support.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Book brew_day() {
    return with(brew_of("B1", "2026-02-01", {mash("P-1", 4.0), mash("W-1", 1.0)}));
}

struct Outcome {
    std::string said;    // "booked", or the error
    bool booked = false; // whether the ledger holds it afterwards
};

// One brew day on a disk that fails; then the disk is well, and the ledger opened again.
Outcome brew_on(FaultyDisk& disk, const std::string& file, int operation, Failing how) {
    Outcome outcome;
    {
        Ledger ledger(file, Access::write);
        disk.fail(operation, how);
        outcome.said = refusal([&] { (void)ledger.append(brew_day(), head(EntryKind::brew, "2026-02-01")); });
        if (!disk.failed()) outcome.said += " (not reached)";
    }
    // a disk that is well again has been put right at once: nothing is left for whoever opens the ledger next
    if (how == Failing::once && outcome.said != "nothing") CHECK(!std::filesystem::exists(file + "-journal"));
    disk.heal();
    const Ledger ledger(file, Access::read);
    CHECK(ledger.verify().empty());
    const auto left = ledger.lot("P-1")->on_hand;
    outcome.booked = ledger.brew("B1").has_value();
    CHECK(left == Amount::of(Kilograms(outcome.booked ? 21.0 : 25.0)));
    CHECK(ledger.entry(3).has_value() == outcome.booked);
    return outcome;
}

void check_every_point(Failing how, const std::string& message) {
    Folder folder;
    const auto good = folder.file("good");
    (void)stocked_ledger(good);
    FaultyDisk disk;
    int reached = 0;
    for (int operation = 1;; ++operation) {
        const auto file = folder.file("l");
        std::filesystem::remove(file + "-journal");
        std::filesystem::copy_file(good, file, std::filesystem::copy_options::overwrite_existing);
        const auto outcome = brew_on(disk, file, operation, how);
        if (outcome.said == "nothing (not reached)") {
            CHECK(outcome.booked);
            break;
        }
        ++reached;
        INFO("operation ", operation, ": ", outcome.said);
        if (outcome.said == "nothing")
            CHECK(outcome.booked); // a failure that SQLite made good, such as of a flush of the folder
        else {
            CHECK(outcome.said.starts_with("kind 4: the "));
            CHECK(outcome.said.find(message) != std::string::npos);
            CHECK(!outcome.booked);
        }
    }
    CHECK(reached > 10);
}

} // namespace

TEST_CASE("an operation of the disk fails once") {
    check_every_point(Failing::once, "");
}

TEST_CASE("the disk fails for good") {
    check_every_point(Failing::for_good, "");
}

TEST_CASE("the disk is full") {
    check_every_point(Failing::full, "the disk that holds the ledger ");
}

TEST_CASE("the power goes in the middle of a write") {
    check_every_point(Failing::torn, "");
}

TEST_CASE("the power goes, and what was not flushed is lost") {
    check_every_point(Failing::power_loss, "");
}

TEST_CASE("the power goes, and of what was not flushed the disk kept some") {
    check_every_point(Failing::scattered, "");
}

TEST_CASE("an entry that was reported is there when the power goes after it") {
    for (const auto how : {Failing::power_loss, Failing::scattered}) {
        Folder folder;
        const auto file = folder.file("l");
        (void)stocked_ledger(file);
        FaultyDisk disk;
        disk.fail(1'000'000, how); // never reached: it only keeps account of what was flushed
        {
            Ledger ledger(file, Access::write);
            (void)ledger.append(brew_day(), head(EntryKind::brew, "2026-02-01"));
            disk.lose_power();
        }
        const Ledger ledger(file, Access::read);
        CHECK(ledger.verify().empty());
        CHECK(ledger.brew("B1"));
    }
}

TEST_CASE("a ledger that cannot be opened is left as it is") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    const auto before = bytes_of(file);
    FaultyDisk disk;
    disk.fail(1, Failing::for_good);
    for (const auto access : {Access::read, Access::write})
        CHECK(refusal([&] { const Ledger ledger(file, access); }).starts_with("kind 4: the ledger " + file));
    CHECK(disk.failed());
    disk.heal();
    CHECK(bytes_of(file) == before);
}

TEST_CASE("a ledger in the making that fails leaves nothing behind") {
    Folder folder;
    FaultyDisk disk;
    for (int operation = 1;; operation += 7) {
        disk.fail(operation, Failing::full);
        const auto file = folder.file("l");
        const auto said = refusal([&] { Ledger::create(file, "EUR", head(EntryKind::init, "2026-01-01")); });
        disk.heal();
        if (said == "nothing") {
            CHECK(Ledger(file, Access::read).verify().empty());
            break;
        }
        INFO(said);
        CHECK(said.starts_with("kind 4: the disk has no room for " + file + " / make room"));
        CHECK(std::filesystem::is_empty(folder.file("")));
    }
}

TEST_CASE("a backup that fails leaves the earlier one as it was") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    ledger.backup(folder.file("b"));
    const auto before = bytes_of(folder.file("b"));
    (void)ledger.append(brew_day(), head(EntryKind::brew, "2026-02-01"));
    FaultyDisk disk;
    for (int operation = 1;; operation += 5) {
        disk.fail(operation, Failing::for_good);
        const auto said = refusal([&] { ledger.backup(folder.file("b"), Ledger::Replace::yes); });
        disk.heal();
        if (said == "nothing") break;
        CHECK(said.starts_with("kind 4: "));
        CHECK(bytes_of(folder.file("b")) == before);
    }
    CHECK(Ledger(folder.file("b"), Access::read).brew("B1"));
}
