// Several programs book at once: each entry goes in whole, in some order, and none is lost.
#include "ledger_support.hpp"
#include "trials.hpp"
#include <doctest/doctest.h>
#include <thread>

using namespace lotwort;
using namespace lotwort::test;

namespace {

constexpr int bookers = 8;
constexpr int entries_each = 12;

// One kilogram of W-1 at a time; how many were refused for want of it.
int take_kilograms(const std::string& file) {
    int short_of = 0;
    Ledger ledger(file, Access::write);
    for (int i = 0; i < entries_each; ++i) {
        try {
            (void)ledger.append(with(movement_of(MovementKind::discard, "W-1", "2026-02-01", -1.0)),
                                head(EntryKind::discard, "2026-02-01"));
        } catch (const Error& error) {
            if (error.kind() != ErrorKind::shortage) return 100;
            ++short_of;
        }
        (void)ledger.stock();
    }
    return short_of;
}

// 96 are asked, 25 are there.
void check_after(const std::string& file, int short_of) {
    CHECK(short_of == bookers * entries_each - 25);
    const Ledger ledger(file, Access::read);
    CHECK(ledger.lot("W-1")->on_hand.units == 0);
    CHECK(ledger.history({}).size() == 2 + 25);
    CHECK(ledger.verify().empty());
}

} // namespace

TEST_CASE("eight threads, each with the ledger open, share out a lot") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    std::vector<int> short_of(bookers);
    std::vector<std::thread> threads;
    for (auto& count : short_of) threads.emplace_back([&file, &count] { count = take_kilograms(file); });
    int sum = 0;
    for (std::size_t i = 0; i < threads.size(); ++i) {
        threads[i].join();
        sum += short_of[i];
    }
    check_after(file, sum);
}

TEST_CASE("eight programs book a hundred times each: what was reported is what is there, and nothing twice") {
    book_in_a_crowd(100);
}

TEST_CASE("programs killed while they book leave every entry they reported, and none that is half there") {
    const auto killed = kill_bookers(100, 20260201);
    CHECK(killed.rounds == 100);
    CHECK(killed.reported > 100);
    CHECK(killed.undone > 2); // some were hit in the middle of an entry
}

TEST_CASE("what rests on a reading that is out of date is not booked") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    const auto discard = with(movement_of(MovementKind::discard, "W-1", "2026-02-01", -1.0));
    const auto as = head(EntryKind::discard, "2026-02-01");
    Ledger mine(file, Access::write), other(file, Access::write);
    const auto read_up_to = mine.newest_entry();
    CHECK(mine.append(discard, as, read_up_to).number == read_up_to + 1);
    CHECK_THROWS_AS((void)other.append(discard, as, read_up_to), Moved);
    CHECK_THROWS_AS((void)other.rehearse(discard, as, read_up_to), Moved);
    CHECK_THROWS_AS((void)other.reverse(read_up_to, as, read_up_to), Moved);
    CHECK(other.newest_entry() == read_up_to + 1);
    CHECK(other.append(discard, as, read_up_to + 1).number == read_up_to + 2);
}

TEST_CASE("a held ledger lets others read, and nobody book, until its entry is in") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    const auto discard = with(movement_of(MovementKind::discard, "W-1", "2026-02-01", -1.0));
    const auto as = head(EntryKind::discard, "2026-02-01");
    Ledger mine(file, Access::write), other(file, Access::write);
    const auto before = mine.newest_entry();
    mine.hold();
    CHECK(other.newest_entry() == before);
    std::thread waits([&] { (void)other.append(discard, as); });
    CHECK(mine.append(discard, as, before).number == before + 1);
    waits.join();
    CHECK(mine.newest_entry() == before + 2);
    mine.hold();
    (void)mine.rehearse(discard, as);
    CHECK(other.append(discard, as).number == before + 3); // a rehearsal lets go as well
}

TEST_CASE("a picture stays as it was taken, and holds up nobody") {
    Folder folder;
    const auto file = folder.file("l");
    (void)stocked_ledger(file);
    const Ledger picture(file, Access::picture);
    const auto then = picture.newest_entry();
    const auto on_hand = picture.lot("W-1")->on_hand;
    (void)Ledger(file, Access::write)
        .append(with(movement_of(MovementKind::discard, "W-1", "2026-02-01", -1.0)),
                head(EntryKind::discard, "2026-02-01"));
    CHECK(picture.newest_entry() == then);
    CHECK(picture.lot("W-1")->on_hand == on_hand);
    CHECK(Ledger(file, Access::read).newest_entry() == then + 1);
}
