// What has changed since somebody looked, in what an entry is about.
#include "ledger_support.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

using Numbers = std::vector<std::int64_t>;

Numbers touching(const Ledger& ledger, const Book& about, std::int64_t since) {
    Numbers all;
    for (const Entry& entry : ledger.touching(about, since)) all.push_back(entry.number);
    return all;
}

Book discarded(const std::string& lot) {
    Movement movement = movement_of(MovementKind::discard, lot, "2026-01-06", -1.0);
    movement.reason = "spilled";
    return with(movement);
}

Brew read_at(ReadingPoint point) {
    Brew brew = brew_of("B1", "2026-01-07", {});
    Reading reading;
    reading.point = point;
    reading.volume = Litres(25.0);
    brew.readings = {reading};
    return brew;
}

} // namespace

TEST_CASE("an entry of the same lot touches it, one of another does not") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    const Book about = discarded("P-1");
    CHECK(touching(ledger, about, 2).empty());
    (void)ledger.append(discarded("W-1"), head(EntryKind::discard, "2026-01-06"));
    CHECK(touching(ledger, about, 2).empty());
    (void)ledger.append(discarded("P-1"), head(EntryKind::discard, "2026-01-06"));
    CHECK(touching(ledger, about, 2) == Numbers{4});
    CHECK(touching(ledger, about, 1) == Numbers{4, 2}); // it came with entry 2
    CHECK(touching(ledger, about, 4).empty());
}

TEST_CASE("what was booked and taken back since has changed nothing; what was taken back of before has") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    const Book about = discarded("P-1");
    (void)ledger.append(about, head(EntryKind::discard, "2026-01-06"));
    (void)ledger.reverse(3, head(EntryKind::reverse, "2026-01-06"));
    CHECK(touching(ledger, about, 2).empty());
    CHECK(touching(ledger, about, 3) == Numbers{4});
}

TEST_CASE("a brew touches its lots and the brew; a reading touches its own point alone") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    (void)ledger.append(with(brew_of("B1", "2026-01-07", {mash("P-1", 4.0)})), head(EntryKind::brew, "2026-01-07"));
    CHECK(touching(ledger, discarded("P-1"), 2) == Numbers{3});
    CHECK(touching(ledger, with(read_at(ReadingPoint::kettle_full)), 2).empty());
    (void)ledger.append(with(read_at(ReadingPoint::kettle_full)), head(EntryKind::measure, "2026-01-07"));
    CHECK(touching(ledger, with(read_at(ReadingPoint::kettle_full)), 3) == Numbers{4});
    CHECK(touching(ledger, with(read_at(ReadingPoint::cast_out)), 3).empty());
    CHECK(touching(ledger, with(brew_of("B1", "2026-01-07", {mash("P-1", 1.0)})), 2) == Numbers{3});
    CHECK(touching(ledger, with(brew_of("B1", "2026-01-07", {mash("W-1", 1.0)})), 2).empty());
}

TEST_CASE("a run of packages touches others of its brew, and a plan its next version and its brew") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    Book planned;
    Plan plan;
    plan.code = "P1";
    plan.date = day("2026-02-01");
    plan.recipe = brewery().recipes.front().name;
    planned.plans = {plan};
    (void)ledger.append(planned, head(EntryKind::plan, "2026-01-06"));
    CHECK(touching(ledger, planned, 2) == Numbers{3});
    CHECK(touching(ledger, planned, 3).empty());
    Brew brew = brew_of("B1", "2026-01-07", {mash("P-1", 4.0)});
    brew.plan = "P1";
    (void)ledger.append(with(brew), head(EntryKind::brew, "2026-01-07"));
    CHECK(touching(ledger, planned, 3) == Numbers{4});
    (void)ledger.append(with(run_of("B1-1", "B1", "2026-01-20", 40)), head(EntryKind::package, "2026-01-20"));
    CHECK(touching(ledger, with(run_of("B1-2", "B1", "2026-01-20", 10)), 4) == Numbers{5});
    CHECK(touching(ledger, with(run_of("B2-1", "B2", "2026-01-20", 10)), 4).empty());
}

TEST_CASE("what is stated anew touches what was stated since: recipes, items, offers, orders") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    Book about;
    about.recipes = {brewery().recipes.front()};
    about.recipes.front().boil = Minutes(75.0);
    CHECK(touching(ledger, about, 2).empty());
    (void)ledger.append(about, head(EntryKind::recipe, "2026-01-06"));
    CHECK(touching(ledger, about, 2) == Numbers{3});
    Book items;
    items.items = {malt("amber malt")};
    (void)ledger.append(items, head(EntryKind::item, "2026-01-06"));
    CHECK(touching(ledger, items, 3) == Numbers{4});
    CHECK(touching(ledger, about, 3).empty());
}
