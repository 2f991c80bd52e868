// The last that a rule lets through and the first that it refuses: days, amounts, and what a reversal must be.
#include "../../src/store/write/booking_order.hpp"
#include "ledger_support.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Amount kg(double kilograms) {
    return Amount::of(Kilograms(kilograms));
}

std::string booked(Ledger& ledger, const Book& part, const char* on, EntryKind kind = EntryKind::import_file) {
    return refusal([&] { (void)ledger.append(part, head(kind, on)); });
}

bool holds(const std::string& said, const std::string& words) {
    return said.find(words) != std::string::npos;
}

Book discard_and_back() {
    Book pair = with(movement_of(MovementKind::discard, "P-1", "2026-01-20", -5.0));
    pair.movements[0].id = "m1";
    pair.movements.push_back(movement_of(MovementKind::reversal, "P-1", "2026-01-20", 5.0));
    pair.movements[1].id = "m2";
    pair.movements[1].reverses = "m1";
    return pair;
}

Lot held(Ledger& ledger, const char* code, const char* why) {
    Lot lot = ledger.lot(code)->lot;
    lot.held = why;
    return lot;
}

// B1 of 2026-02-10 took 5 kg of P-1, which is on hold since that day.
Ledger held_after_use(const std::string& file) {
    auto ledger = stocked_ledger(file);
    (void)ledger.append(with(brew_of("B1", "2026-02-10", {mash("P-1", 5.0)})), head(EntryKind::brew, "2026-02-10"));
    (void)ledger.append(with(held(ledger, "P-1", "wet")), head(EntryKind::hold, "2026-02-10"));
    return ledger;
}

// Takes B1's 5 kg back and books these weights in their place.
std::string correct(Ledger& ledger, std::vector<Addition> additions) {
    Book part = with(brew_of("B1", "2026-02-10", std::move(additions)));
    part.movements = {movement_of(MovementKind::reversal, "P-1", "2026-02-10", 5.0)};
    for (const Movement& use : ledger.movements("P-1"))
        if (use.change == -kg(5.0)) part.movements[0].reverses = use.id;
    return booked(ledger, part, "2026-02-11", EntryKind::brew);
}

} // namespace

TEST_CASE("what takes a movement back is of its lot and day, and is not taken back itself") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    const std::string rule = "a reversal is equal, opposite and of the same lot and day as what it takes back";
    Book other_day = discard_and_back();
    other_day.movements[1].on = day("2026-01-21");
    CHECK(holds(booked(ledger, other_day, "2026-02-01"), rule));
    Book other_lot = discard_and_back();
    other_lot.movements[1].lot = "W-1";
    CHECK(holds(booked(ledger, other_lot, "2026-02-01"), rule));
    Book twice = discard_and_back();
    twice.movements.push_back(movement_of(MovementKind::reversal, "P-1", "2026-01-20", -5.0));
    twice.movements[2].reverses = "m2";
    CHECK(holds(booked(ledger, twice, "2026-02-01"), rule));
    CHECK(booked(ledger, discard_and_back(), "2026-02-01") == "nothing");
    CHECK(ledger.lot("P-1")->on_hand == kg(25.0));
}

TEST_CASE("a lot is brewed with on the day it came, and until the day before its hold") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    CHECK(booked(ledger, with(brew_of("B1", "2026-01-05", {mash("P-1", 1.0)})), "2026-01-05") == "nothing");
    (void)ledger.append(with(held(ledger, "P-1", "wet")), head(EntryKind::hold, "2026-02-10"));
    CHECK(holds(booked(ledger, with(brew_of("B2", "2026-02-10", {mash("P-1", 1.0)})), "2026-02-10"),
                "brew `B2`: lot `P-1` is on hold since 2026-02-10: wet"));
    CHECK(booked(ledger, with(brew_of("B2", "2026-02-09", {mash("P-1", 1.0)})), "2026-02-10") == "nothing");
    Lot released = ledger.lot("P-1")->lot;
    released.held.reset();
    CHECK(booked(ledger, with(released), "2026-02-12", EntryKind::hold) == "nothing");
    CHECK(booked(ledger, with(brew_of("B3", "2026-02-12", {mash("P-1", 1.0)})), "2026-02-12") == "nothing");
    CHECK(ledger.lot("P-1")->on_hand == kg(22.0));
}

TEST_CASE("a weight from a lot on hold is corrected up to what was taken back, whole or in parts") {
    Folder folder;
    auto ledger = held_after_use(folder.file("l"));
    CHECK(holds(correct(ledger, {mash("P-1", 5.001)}), "is on hold since"));
    CHECK(holds(correct(ledger, {mash("P-1", 3.0), mash("P-1", 2.5)}), "is on hold since"));
    CHECK(ledger.lot("P-1")->on_hand == kg(20.0));
    CHECK(correct(ledger, {mash("P-1", 3.0), mash("P-1", 2.0)}) == "nothing");
    CHECK(ledger.lot("P-1")->on_hand == kg(20.0));
}

TEST_CASE("what a lot was made of is gone from the lots it came from, and is of their measure") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    Lot bin = lot_of("P-2", "pale malt", "2026-01-10", 10.0);
    bin.made_from = {{"P-1", kg(10.0)}};
    CHECK(booked(ledger, with(bin), "2026-01-10") == "nothing");
    CHECK(ledger.lot("P-1")->on_hand == kg(15.0));
    CHECK(ledger.lot("P-2")->on_hand == kg(10.0));
    Lot slurry = lot_of("Y-2", "ale yeast", "2026-01-10", 0.0);
    slurry.received_amount = Amount::of(Litres(2.0));
    slurry.made_from = {{"Y-1", Amount::pieces(2)}};
    CHECK(holds(booked(ledger, with(slurry), "2026-01-10"), "comes to 0 L, and the lot is 2 L"));
}

TEST_CASE("a shortage tells what was there at the end of the day asked, and the least of the days behind it") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    (void)ledger.append(with(brew_of("B1", "2026-02-01", {mash("P-1", 20.0)})), head(EntryKind::brew, "2026-02-01"));
    (void)ledger.append(with(movement_of(MovementKind::count, "P-1", "2026-02-05", 3.0)),
                        head(EntryKind::count, "2026-02-05"));
    const auto asks = [&](const char* on, std::vector<Addition> additions) {
        return booked(ledger, with(brew_of("B0", on, std::move(additions))), "2026-02-06");
    };
    CHECK(holds(asks("2026-02-01", {mash("P-1", 6.0)}), "6 kg wanted for brew `B0` on 2026-02-01, 5 kg there since "
                                                        "2026-02-01 / "));
    // all that was there then, and more than there was from the first of February on
    CHECK(holds(asks("2026-01-15", {mash("P-1", 25.0)}), "25 kg wanted for brew `B0` on 2026-01-15, 25 kg there then, "
                                                         "but only 5 kg from 2026-02-01 on, when entry 3 takes"));
    CHECK(holds(asks("2026-02-06", {mash("P-1", 7.0), mash("P-1", 2.0)}), "2 kg wanted for brew `B0` on 2026-02-06 "
                                                                          "(besides 7 kg that the same entry takes)"));
}

TEST_CASE("a run is filled and sent on the brew day at the earliest, to the last bottle, and all of it comes back") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    (void)ledger.append(with(brew_of("B1", "2026-02-01", {mash("P-1", 1.0)})), head(EntryKind::brew, "2026-02-01"));
    Package run = run_of("B1-1", "B1", "2026-02-01", 6);
    run.sent = {{day("2026-02-01"), "home", 6}};
    CHECK(booked(ledger, with(run), "2026-02-01", EntryKind::package) == "nothing");
    run.sent = {{day("2026-02-02"), "home", -6}};
    CHECK(booked(ledger, with(run), "2026-02-02", EntryKind::package) == "nothing");
    Package second = run_of("B1-2", "B1", "2026-02-03", 4);
    second.sent = {{day("2026-02-03"), "the inn", 1}};
    CHECK(booked(ledger, with(second), "2026-02-03", EntryKind::package) == "nothing");
    const auto runs = ledger.packages();
    REQUIRE(runs.size() == 2);
    CHECK(runs[0].sent.size() == 2);
    CHECK(sent_out(runs[0]) == 0);
    CHECK(sent_to(runs[1], "the inn") == 1);
}

TEST_CASE(
    "yeast is cropped on its brew's day at the earliest; what was weighed comes back from a brew given up alone") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    (void)ledger.append(with(brew_of("B1", "2026-02-01", {mash("P-1", 4.0)})), head(EntryKind::brew, "2026-02-01"));
    CHECK(ledger.brew("B1")->additions == std::vector{mash("P-1", 4.0)}); // of the brew's day: no other is stated
    Lot crop = lot_of("Y-2", "ale yeast", "2026-02-01", 1.0);
    crop.harvested_from = "B1";
    crop.generation = 1;
    CHECK(booked(ledger, with(crop), "2026-02-01") == "nothing");
    Brew back = brew_of("B1", "2026-02-01", {});
    back.unused = {{"P-1", kg(1.0), day("2026-02-01")}};
    CHECK(holds(booked(ledger, with(back), "2026-02-02"), "nothing comes back from a brew that was not abandoned"));
    Reading full;
    full.volume = Litres(28.0);
    Brew read = brew_of("B1", "2026-02-01", {});
    read.readings = {full};
    CHECK(booked(ledger, with(read), "2026-02-01") == "nothing");
    read.readings = ledger.brew("B1")->readings;
    CHECK(holds(booked(ledger, with(read), "2026-02-02"), "is there already"));
    read.readings[0].set_aside = "read through foam";
    CHECK(booked(ledger, with(read), "2026-02-02") == "nothing");
    CHECK(ledger.brew("B1")->readings[0].set_aside == "read through foam");
}

TEST_CASE("stock of a day holds what came, was opened and was measured on it") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    Lot opened = ledger.lot("P-1")->lot;
    opened.opened = day("2026-02-01");
    (void)ledger.append(with(opened), head(EntryKind::open, "2026-02-01"));
    (void)ledger.append(with(brew_of("B1", "2026-02-02", {mash("P-1", 4.0)})), head(EntryKind::brew, "2026-02-02"));
    const auto pale_on = [&](const char* on) -> std::optional<LotState> {
        for (const LotState& state : ledger.lots_on(day(on)))
            if (state.lot.code == "P-1") return state;
        return std::nullopt;
    };
    CHECK(!pale_on("2026-01-04"));
    REQUIRE(pale_on("2026-01-05"));
    CHECK(pale_on("2026-01-05")->on_hand == kg(25.0));
    CHECK(!pale_on("2026-01-31")->lot.opened);
    CHECK(pale_on("2026-01-31")->lot.retests.empty());
    CHECK(pale_on("2026-02-01")->lot.opened == day("2026-02-01"));
    CHECK(pale_on("2026-02-01")->lot.retests.size() == 1); // of that day, as the certificate of brewery() says
    CHECK(pale_on("2026-02-01")->on_hand == kg(25.0));
    CHECK(pale_on("2026-02-02")->on_hand == kg(21.0));
}

TEST_CASE("a movement dated ahead of its entry is what was booked last") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    (void)ledger.append(with(movement_of(MovementKind::count, "P-1", "2026-03-10", -1.0)),
                        head(EntryKind::import_file, "2026-02-01"));
    CHECK(ledger.booked_after(day("2026-02-15")) == day("2026-03-10"));
    CHECK(ledger.booked_after(day("2026-01-15")) == day("2026-03-10"));
    CHECK(!ledger.booked_after(day("2026-03-10")));
}

TEST_CASE("what changes nothing is booked as what adds; what comes on the day of the last use is there for all days") {
    using store::turn_of;
    const Date last = day("2026-03-20");
    CHECK(turn_of(last, 0, {}, true) < turn_of(day("2026-01-01"), -1, {}, true));
    CHECK(turn_of(last, 7, last, false) < turn_of(day("2026-03-01"), -7, last, false));
    CHECK(turn_of(day("2026-03-01"), -7, last, false) < turn_of(day("2026-03-21"), 7, last, false));
}
