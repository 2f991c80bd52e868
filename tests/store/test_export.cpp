// book() is what an export writes: booked into an empty ledger it gives the same book again.
#include "ledger_support.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <map>
#include <random>
#include <set>
#include <tuple>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Book booked_afresh(const Book& book, const std::string& file) {
    auto ledger = new_ledger(file);
    (void)ledger.append(book, head(EntryKind::import_file, "2026-06-01"));
    CHECK(ledger.verify().empty());
    return ledger.book();
}

} // namespace

TEST_CASE("a ledger with everything in it, exported and booked afresh, exports the same") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    const auto book = [&](const Book& part, EntryKind kind, const char* on) {
        (void)ledger.append(part, head(kind, on));
    };
    const auto back = [&](std::int64_t number, const char* why) {
        auto h = head(EntryKind::reverse, "2026-04-01");
        h.why = why;
        (void)ledger.reverse(number, h);
    };
    auto brew = brew_of("B1", "2026-02-10", {mash("P-1", 4.0), mash("W-1", 0.5)});
    brew.plan = "PL-1";
    brew.recipe = "ordinary pale";
    book(with(brew), EntryKind::brew, "2026-02-10"); // 3
    brew.additions = {mash("P-1", 0.5)};             // booked late, of a later day, then one of an earlier day
    brew.additions[0].on = day("2026-02-12");
    book(with(brew), EntryKind::brew, "2026-02-12"); // 4
    brew.additions = {mash("P-1", 0.25)};
    brew.additions[0].on = day("2026-02-09");
    book(with(brew), EntryKind::brew, "2026-02-13"); // 5
    back(4, "weighed twice");                        // 6
    auto count = movement_of(MovementKind::count, "W-1", "2026-02-20", -0.5);
    count.reason = "dust";
    book(with(count), EntryKind::count, "2026-02-20"); // 7
    book(with(count), EntryKind::count, "2026-02-20"); // 8: the same once more
    book(with(count), EntryKind::count, "2026-02-20"); // 9
    back(8, "counted twice");                          // 10
    back(9, "counted thrice");                         // 11
    book(with(lot_of("X-1", "pale malt", "2026-02-21", 10.0)), EntryKind::receive, "2026-02-21");  // 12
    back(12, "another lot came");                                                                  // 13
    book(with(lot_of("X-1", "wheat malt", "2026-02-22", 12.0)), EntryKind::receive, "2026-02-22"); // 14
    book(with(lot_of("X-2", "pale malt", "2026-02-21", 10.0)), EntryKind::receive, "2026-02-21");  // 15
    back(15, "never came");                                                                        // 16
    book(with(brew_of("B2", "2026-02-25", {mash("W-1", 1.0)})), EntryKind::brew, "2026-02-25");    // 17
    back(17, "poured away before the mash");                                                       // 18

    const auto first = ledger.book();
    const auto second = booked_afresh(first, folder.file("second"));
    CHECK(second == first);
    CHECK(booked_afresh(second, folder.file("third")) == first);

    CHECK(first.lots.size() == 5); // X-2 was taken back
    CHECK(first.brews.size() == 1);
    CHECK(first.brews[0].additions.size() == 3);
    // one count, two taken back; the late addition, X-1's first receipt and B2's malt, each with its reversal
    REQUIRE(first.movements.size() == 1 + 2 * 2 + 3 * 2);
    std::string text;
    for (const auto& m : first.movements)
        text += *m.id + " " + to_iso(m.on) + " " + m.lot + " " + std::string(word(m.kind)) + " " + to_text(m.change) +
                " " + m.brew.value_or("-") + " " + m.reverses.value_or("-") + "\n";
    CHECK(text == "m1 2026-02-12 P-1 brew -500 g B1 -\n"
                  "m2 2026-02-12 P-1 reversal 500 g - m1\n"
                  "m3 2026-02-20 W-1 count -500 g - -\n"
                  "m4 2026-02-20 W-1 count -500 g - -\n"
                  "m5 2026-02-20 W-1 count -500 g - -\n"
                  "m6 2026-02-20 W-1 reversal 500 g - m4\n"
                  "m7 2026-02-20 W-1 reversal 500 g - m5\n"
                  "m8 2026-02-21 X-1 receipt 10 kg - -\n"
                  "m9 2026-02-21 X-1 reversal -10 kg - m8\n"
                  "m10 2026-02-25 W-1 brew -1 kg - -\n" // B2 is no more
                  "m11 2026-02-25 W-1 reversal 1 kg - m10\n");
    // the counts taken back differ by the reasons why alone: by them they are put in order
    CHECK(first.movements[5].reason == "counted thrice");
    CHECK(first.movements[6].reason == "counted twice");
}

TEST_CASE("two ledgers of one content export the same, whatever they went through") {
    Folder folder;
    auto one = stocked_ledger(folder.file("one"));
    auto other = stocked_ledger(folder.file("other"));
    const auto left = movement_of(MovementKind::discard, "P-1", "2026-02-01", -1.0);
    const auto right = movement_of(MovementKind::discard, "W-1", "2026-02-01", -1.0);
    (void)one.append(with(left), head(EntryKind::discard, "2026-02-01"));
    (void)one.append(with(right), head(EntryKind::discard, "2026-02-01"));
    (void)other.append(with(right), head(EntryKind::discard, "2026-02-01"));
    (void)other.append(with(left), head(EntryKind::discard, "2026-02-01"));
    CHECK(one.book() == other.book());
}

TEST_CASE("long lists of movements come sorted by what they say, and each reversal names what it takes back") {
    Folder folder;
    const auto file = folder.file("l");
    auto ledger = stocked_ledger(file);
    std::mt19937 random(7);
    const auto one_of = [&](int count) { return static_cast<int>(random() % static_cast<unsigned>(count)); };
    for (int entry = 0; entry < 12; ++entry) {
        Book part;
        for (int i = 0; i < 900; ++i) {
            auto& m = part.movements.emplace_back(
                movement_of(one_of(2) == 0 ? MovementKind::count : MovementKind::discard,
                            one_of(2) == 0 ? "P-1" : "W-1", "2026-02-01", -0.000001 * one_of(3)));
            m.on = m.on + std::chrono::days(one_of(9));
            if (one_of(2) == 0) m.reason = one_of(2) == 0 ? "dust" : "a sack that was torn on its way from the store";
        }
        (void)ledger.append(part, head(EntryKind::import_file, "2026-03-01"));
    }
    for (const std::int64_t number : {4, 7, 8}) (void)ledger.reverse(number, head(EntryKind::reverse, "2026-03-02"));

    const auto all = ledger.book().movements;
    REQUIRE(all.size() == 12 * 900 + 3 * 900);
    const auto said = [](const Movement& m) {
        return std::tuple(m.on, m.lot, m.kind, m.change.units, m.reason, m.brew, m.stage);
    };
    CHECK(std::ranges::is_sorted(all, {}, said));
    std::map<std::string, const Movement*> by_id;
    for (const auto& m : all) CHECK(by_id.emplace(*m.id, &m).second);
    std::set<std::string> answered;
    for (const auto& m : all) {
        if (!m.reverses) continue;
        const auto& original = *by_id.at(*m.reverses);
        CHECK(answered.insert(*m.reverses).second);
        CHECK(std::tuple(original.on, original.lot, original.change.units) == std::tuple(m.on, m.lot, -m.change.units));
    }
    CHECK(answered.size() == 3 * 900);
}
