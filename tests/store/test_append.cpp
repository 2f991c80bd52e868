#include "ledger_support.hpp"
#include <algorithm>
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

template <class Record>
std::vector<Record> by_name(std::vector<Record> records) {
    std::sort(records.begin(), records.end(), [](const auto& a, const auto& b) { return a.name < b.name; });
    return records;
}

Reading kettle_reading(const std::string& id) {
    Reading reading;
    reading.id = id;
    reading.at = "13:45";
    reading.point = ReadingPoint::kettle_full;
    reading.run = 1;
    reading.volume = Litres(28.5);
    reading.volume_at = Celsius(75.0);
    reading.volume_instrument = "kettle marks";
    reading.brix = Brix(10.4);
    reading.gravity_at = Celsius(20.0);
    reading.gravity_instrument = "refractometer";
    return reading;
}

} // namespace

TEST_CASE("what is booked is read back as it was, record by record") {
    Folder folder;
    const auto ledger = stocked_ledger(folder.file("l"));
    const auto booked = brewery();
    const auto book = ledger.book();
    CHECK(book.currency == "EUR");
    CHECK(book.items == by_name(booked.items));
    CHECK(book.instruments == by_name(booked.instruments));
    CHECK(book.brewhouses == booked.brewhouses);
    CHECK(book.recipes == booked.recipes);
    CHECK(book.suppliers == booked.suppliers);
    CHECK(book.offers == booked.offers);
    CHECK(book.orders == booked.orders);
    CHECK(book.plans == booked.plans);
    auto lots = booked.lots;
    std::sort(lots.begin(), lots.end(), [](const auto& a, const auto& b) { return a.code < b.code; });
    CHECK(book.lots == lots);
    CHECK(book.movements.empty()); // what the lots received stands in the lots
}

TEST_CASE("a brew takes its malts from stock and keeps its readings") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    Brew brew = brew_of("B1", "2026-01-10", {mash("P-1", 4.2), mash("W-1", 0.5)});
    brew.recipe = "ordinary pale";
    brew.boil = Minutes(60.0);
    brew.additions[0].mass_instrument = "malt scale";
    Addition dry{"H-1", Stage::dry, Amount::of(Grams(50.0)), {}, day("2026-01-18"), {}, {}};
    Addition boil{"H-1", Stage::boil, Amount::of(Grams(25.3)), Minutes(60.0), {}, {}, {}};
    brew.additions.push_back(boil);
    brew.additions.push_back(dry);
    brew.readings = {kettle_reading("r1")};
    const auto entry = ledger.append(with(brew), head(EntryKind::brew, "2026-01-10"));
    CHECK(entry.number == 3);
    CHECK(ledger.brew("B1") == brew);
    CHECK(ledger.brews() == std::vector<Brew>{brew});
    CHECK(ledger.lot("P-1")->on_hand == Amount::of(Kilograms(20.8)));
    CHECK(ledger.lot("H-1")->on_hand == Amount::of(Grams(924.7)));

    SUBCASE("a later entry adds to it") {
        Brew more = brew_of("B1", "2026-01-10", {mash("P-1", 0.3)});
        more.recipe = "ordinary pale";
        more.boil = Minutes(60.0);
        more.readings = {kettle_reading("")};
        (void)ledger.append(with(more), head(EntryKind::measure, "2026-01-10"));
        const auto now = ledger.brew("B1");
        CHECK(now->additions.size() == 5);
        CHECK(now->readings.size() == 2);
        CHECK(now->readings[1].id == "r2"); // the next free
        CHECK(ledger.lot("P-1")->on_hand == Amount::of(Kilograms(20.5)));
    }
    SUBCASE("its head must agree") {
        Brew other = brew_of("B1", "2026-01-11", {mash("P-1", 0.3)});
        CHECK(refusal([&] { (void)ledger.append(with(other), head(EntryKind::brew, "2026-01-11")); }) ==
              "kind 1: brew `B1` is there already, with another date, recipe, boil_minutes / give the new brew another "
              "code, or take the old one back with `lotwort reverse ENTRY`");
    }
    SUBCASE("a reading is set aside and counted again, never changed") {
        Brew again = brew;
        again.additions.clear();
        again.readings[0].set_aside = "foam on the wort";
        (void)ledger.append(with(again), head(EntryKind::measure, "2026-01-11"));
        CHECK(ledger.brew("B1")->readings[0].set_aside == "foam on the wort");
        again.readings[0].set_aside.reset();
        (void)ledger.append(with(again), head(EntryKind::measure, "2026-01-12"));
        CHECK(ledger.brew("B1")->readings == brew.readings);
        again.readings[0].volume = Litres(29.0);
        CHECK(refusal([&] { (void)ledger.append(with(again), head(EntryKind::measure, "2026-01-12")); }) ==
              "kind 1: reading `r1` of brew `B1` is there already, with another volume_l / readings are never changed: "
              "set the wrong one aside and book a new one");
    }
}

TEST_CASE("a record of a known name becomes its next version") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    Book change;
    change.items = {malt("pale malt")};
    change.items[0].colour = Ebc(7.5);
    (void)ledger.append(change, head(EntryKind::item, "2026-01-06"));
    const auto items = ledger.definitions().items;
    CHECK(items.size() == 4);
    const auto pale = std::find_if(items.begin(), items.end(), [](const auto& i) { return i.name == "pale malt"; });
    CHECK(*pale == change.items[0]);
    (void)ledger.reverse(3, head(EntryKind::reverse, "2026-01-07"));
    CHECK(ledger.definitions().items == by_name(brewery().items)); // the version before holds again
}

TEST_CASE("a plan promises stock until a brew names it") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    CHECK(ledger.lot("P-1")->promised == Amount::of(Kilograms(4.5)));
    CHECK(ledger.lot("P-1")->free() == Amount::of(Kilograms(20.5)));
    CHECK(ledger.definitions().plans.size() == 1);
    Brew brew = brew_of("B1", "2026-02-10", {mash("P-1", 4.4)});
    brew.plan = "PL-1";
    (void)ledger.append(with(brew), head(EntryKind::brew, "2026-02-10"));
    CHECK(ledger.lot("P-1")->promised == Amount::of(Kilograms(0.0)));
    CHECK(ledger.definitions().plans.empty());
    CHECK(ledger.book().plans.size() == 1); // an export keeps it: the brew names it

    SUBCASE("once") {
        Brew other = brew_of("B2", "2026-02-11", {});
        other.plan = "PL-1";
        CHECK(refusal([&] { (void)ledger.append(with(other), head(EntryKind::brew, "2026-02-11")); }) ==
              "kind 1: brew `B2`: plan `PL-1` has been brewed already, as B1");
        Book again;
        again.plans = brewery().plans;
        CHECK(refusal([&] {
                  (void)ledger.append(again, head(EntryKind::plan, "2026-02-11"));
              }).starts_with("kind 1: plan `PL-1` has been brewed already, as B1"));
    }
    SUBCASE("and is open again when that brew is taken back") {
        (void)ledger.reverse(3, head(EntryKind::reverse, "2026-02-11"));
        CHECK(ledger.lot("P-1")->promised == Amount::of(Kilograms(4.5)));
    }
}

TEST_CASE("a lot gains retests and goes on hold; nothing else of it changes") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    auto lot = ledger.lot("P-1")->lot;
    Retest later;
    later.on = day("2026-03-01");
    later.found.extract = Percent(79.9);
    later.found.extract_basis = ExtractBasis::fine_dry;
    lot.retests.push_back(later);
    lot.held = "insects in the sack";
    (void)ledger.append(with(lot), head(EntryKind::hold, "2026-03-01"));
    CHECK(ledger.lot("P-1")->lot == lot);

    CHECK(refusal([&] {
              (void)ledger.append(with(brew_of("B1", "2026-03-02", {mash("P-1", 1.0)})),
                                  head(EntryKind::brew, "2026-03-02"));
          }) == "kind 1: brew `B1`: lot `P-1` is on hold since 2026-03-01: insects in the sack / take another lot, or "
                "`lotwort trace P-1 --release` first");
    // a brew of before the hold may still be written down
    (void)ledger.append(with(brew_of("B1", "2026-02-02", {mash("P-1", 1.0)})), head(EntryKind::brew, "2026-02-02"));

    lot.held.reset();
    (void)ledger.append(with(lot), head(EntryKind::hold, "2026-03-03"));
    CHECK(ledger.lot("P-1")->lot == lot);
    CHECK(refusal([&] { (void)ledger.append(with(lot), head(EntryKind::hold, "2026-03-03")); }) ==
          "kind 1: lot `P-1` is there already / give the new lot another code");
    lot.item = "wheat malt";
    CHECK(refusal([&] {
              (void)ledger.append(with(lot), head(EntryKind::receive, "2026-03-03"));
          }).starts_with("kind 1: lot `P-1` is there already, with another item"));
}

TEST_CASE("a whole history goes in, in whatever order its file holds it") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    Book part;
    part.brews = {brew_of("B2", "2026-03-01", {mash("P-2", 20.0)}), brew_of("B1", "2026-02-01", {mash("P-2", 10.0)})};
    part.movements = {movement_of(MovementKind::discard, "P-2", "2026-03-05", -1.0),
                      movement_of(MovementKind::count, "P-2", "2026-02-01", 6.0)}; // found on the day of B1
    part.lots = {lot_of("P-2", "pale malt", "2026-02-01", 25.0)};
    (void)ledger.append(part, head(EntryKind::import_file, "2026-04-01"));
    CHECK(ledger.lot("P-2")->on_hand.units == 0);
    std::vector<std::string> kinds;
    for (const auto& movement : ledger.movements("P-2")) kinds.emplace_back(word(movement.kind));
    CHECK(kinds == std::vector<std::string>{"receipt", "count", "brew", "brew", "discard"});
}

TEST_CASE("a rehearsal makes every check and leaves the file byte for byte as it was") {
    Folder folder;
    const auto file = folder.file("l");
    auto ledger = stocked_ledger(file);
    const auto before = bytes_of(file);
    const auto entry =
        ledger.rehearse(with(brew_of("B1", "2026-01-10", {mash("P-1", 4.2)})), head(EntryKind::brew, "2026-01-10"));
    CHECK(entry.number == 3);
    CHECK(refusal([&] {
              (void)ledger.rehearse(with(brew_of("B1", "2026-01-10", {mash("P-1", 40.0)})),
                                    head(EntryKind::brew, "2026-01-10"));
          }).starts_with("kind 3:"));
    CHECK(ledger.rehearse_reverse(2, head(EntryKind::reverse, "2026-01-10")).reverses == 2);
    CHECK(bytes_of(file) == before);
    CHECK(!ledger.entry(3));
    CHECK(!ledger.brew("B1"));

    Book many; // more than the cache would hold
    for (int i = 0; i < 20000; ++i) many.items.push_back(malt("malt number " + std::to_string(i)));
    (void)ledger.rehearse(many, head(EntryKind::import_file, "2026-01-10"));
    CHECK(bytes_of(file) == before);
}

TEST_CASE("the brews of one fermenter are found from any of them, by day, and no other brew") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    const auto brewed = [&](const char* code, const char* on, std::optional<std::string> into) {
        Brew brew = brew_of(code, on, {mash("P-1", 1.0)});
        brew.fermented_with = std::move(into);
        return ledger.append(with(brew), head(EntryKind::brew, on)).number;
    };
    brewed("B1", "2026-01-10", {});
    brewed("B2", "2026-01-11", "B1");
    brewed("B3", "2026-01-12", "B2"); // by way of the second
    brewed("B4", "2026-01-12", {});
    const auto last = brewed("B5", "2026-01-11", "B1");
    const auto codes = [&](const char* of) {
        std::string all;
        for (const auto& brew : ledger.brews_of_fermenter(of)) all += brew.code + " ";
        return all;
    };
    for (const char* of : {"B1", "B2", "B3", "B5"}) CHECK(codes(of) == "B1 B2 B5 B3 ");
    CHECK(codes("B4") == "B4 ");
    CHECK(codes("B9").empty());
    (void)ledger.reverse(last, head(EntryKind::reverse, "2026-01-13"));
    CHECK(codes("B1") == "B1 B2 B3 ");
}

TEST_CASE("stock is listed by kind, item and day of receipt") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    (void)ledger.append(with(lot_of("A-0", "pale malt", "2026-01-09", 10.0)), head(EntryKind::receive, "2026-01-09"));
    const auto rows = ledger.stock();
    std::vector<std::string> codes;
    for (const auto& row : rows) codes.push_back(row.lot);
    CHECK(codes == std::vector<std::string>{"P-1", "A-0", "W-1", "H-1", "Y-1"});
    CHECK(rows[0].item == "pale malt");
    CHECK(rows[0].kind == ItemKind::malt);
    CHECK(rows[0].on_hand == Amount::of(Kilograms(25.0)));
    CHECK(rows[0].promised == Amount::of(Kilograms(4.5)));
    CHECK(rows[0].price == Money{3250});
    CHECK(rows[0].best_before == day("2027-06-01"));
    CHECK(rows[4].received_amount == Amount::pieces(10));
    CHECK(rows[4].promised == Amount::pieces(0));
}

TEST_CASE("a plan that was called off is not brewed: its promises are free") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    Book off;
    off.plans = brewery().plans;
    off.plans[0].cancelled = "the kettle leaks";
    off.plans[0].reserved.clear();
    (void)ledger.append(off, head(EntryKind::plan, "2026-02-01"));
    CHECK(ledger.lot("P-1")->promised == Amount::of(Kilograms(0.0)));
    auto brew = brew_of("B1", "2026-02-10", {mash("P-1", 4.5)});
    brew.plan = "PL-1";
    CHECK(refusal([&] { (void)ledger.append(with(brew), head(EntryKind::brew, "2026-02-10")); }) ==
          "kind 1: brew `B1`: plan `PL-1` was called off: the kettle leaks / plan it again, or brew without a plan");
    // called off by mistake: the entry is taken back, and the plan stands as before
    (void)ledger.reverse(3, head(EntryKind::reverse, "2026-02-02"));
    CHECK(ledger.lot("P-1")->promised == Amount::of(Kilograms(4.5)));
    (void)ledger.append(with(brew), head(EntryKind::brew, "2026-02-10"));
    CHECK(ledger.lot("P-1")->promised == Amount::of(Kilograms(0.0)));
}

TEST_CASE("what is added on a day that has movements already serves what is taken before that day in the same entry") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    (void)ledger.append(with(movement_of(MovementKind::discard, "P-1", "2026-02-10", -5.0)),
                        head(EntryKind::discard, "2026-02-10"));
    Book both = with(brew_of("B1", "2026-02-01", {mash("P-1", 22.0)}));
    both.movements = {movement_of(MovementKind::count, "P-1", "2026-02-10", 3.0)};
    (void)ledger.append(both, head(EntryKind::import_file, "2026-02-11")); // 25 - 22, then - 5 + 3 on one day
    CHECK(ledger.lot("P-1")->on_hand == Amount::of(Kilograms(1.0)));
    CHECK(ledger.verify().empty());
}

TEST_CASE("a long rehearsal checks everything and leaves the file as it was") {
    Folder folder;
    const auto file = folder.file("l");
    auto ledger = stocked_ledger(file);
    const auto before = bytes_of(file);
    auto crumb = movement_of(MovementKind::discard, "P-1", "2026-02-01", 0.0);
    crumb.change.units = -100; // mg
    Book part;
    part.movements.assign(60'000, crumb);
    CHECK(ledger.rehearse(part, head(EntryKind::import_file, "2026-03-01")).number == 3);
    CHECK(bytes_of(file) == before);
    part.movements.back().change.units = -20'000'000; // the lot has 25 kg, and 6 kg go in crumbs
    CHECK(refusal([&] {
              (void)ledger.rehearse(part, head(EntryKind::import_file, "2026-03-01"));
          }).starts_with("kind 3: lot `P-1` of pale malt is short: 20 kg wanted for a discard on 2026-02-01"));
    CHECK(bytes_of(file) == before);
    CHECK(ledger.lot("P-1")->on_hand == Amount::of(Kilograms(25.0)));
}
