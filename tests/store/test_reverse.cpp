// Taking an entry back: equal and opposite movements on the same days, and never from under a later entry.
#include "ledger_support.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

EntryHead back(const char* why = "") {
    auto h = head(EntryKind::reverse, "2026-03-01", "taken back");
    h.why = why;
    return h;
}

Entry book(Ledger& ledger, const Book& part, EntryKind kind, const char* on, const char* what) {
    return ledger.append(part, head(kind, on, what));
}

} // namespace

TEST_CASE("a discard taken back: the stock returns on the day it left, and both movements stay") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    auto discard = movement_of(MovementKind::discard, "P-1", "2026-02-01", -3.0);
    discard.reason = "spilt";
    (void)book(ledger, with(discard), EntryKind::discard, "2026-02-01", "spilt");
    CHECK(ledger.lot("P-1")->on_hand == Amount::of(Kilograms(22.0)));
    const auto entry = ledger.reverse(3, back("it was the other lot"));
    CHECK(entry.number == 4);
    CHECK(entry.head.kind == EntryKind::reverse);
    CHECK(entry.reverses == 3);
    CHECK(ledger.entry(3)->reversed_by == 4);
    CHECK(ledger.lot("P-1")->on_hand == Amount::of(Kilograms(25.0)));
    const auto movements = ledger.movements("P-1");
    REQUIRE(movements.size() == 3);
    CHECK(movements[1].reason == "spilt");
    CHECK(movements[2].kind == MovementKind::reversal);
    CHECK(movements[2].on == day("2026-02-01"));
    CHECK(movements[2].change == Amount::of(Kilograms(3.0)));
    CHECK(movements[2].reason == "it was the other lot");
    CHECK(movements[2].reverses == movements[1].id);
    CHECK(ledger.verify().empty());
}

TEST_CASE("what cannot be taken back at all") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    CHECK(refusal([&] { (void)ledger.reverse(9, back()); }) ==
          "kind 1: there is no entry 9 / `lotwort history` lists them");
    CHECK(refusal([&] { (void)ledger.reverse(1, back()); }) ==
          "kind 1: entry 1 made the ledger and cannot be taken back / leave it; a ledger without entries does no harm");
    (void)ledger.reverse(2, back());
    CHECK(refusal([&] { (void)ledger.reverse(2, back()); }) ==
          "kind 1: entry 2 has been taken back already, by entry 3 / book it again if it holds after all");
    CHECK(refusal([&] { (void)ledger.reverse(3, back()); }) ==
          "kind 1: entry 3 takes entry 2 back and cannot be taken back itself / book again what is missing");
}

TEST_CASE("a delivery taken back may be received again under its code") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    (void)book(ledger, with(lot_of("P-2", "pale malt", "2026-01-20", 10.0)), EntryKind::receive, "2026-01-20", "P-2");
    (void)ledger.reverse(3, back());
    CHECK(!ledger.lot("P-2"));
    CHECK(ledger.stock().size() == 4);
    (void)book(ledger, with(lot_of("P-2", "wheat malt", "2026-01-21", 12.0)), EntryKind::receive, "2026-01-21", "P-2");
    CHECK(ledger.lot("P-2")->on_hand == Amount::of(Kilograms(12.0)));
    CHECK(ledger.lot("P-2")->lot.item == "wheat malt");
    CHECK(ledger.movements("P-2").size() == 3);
    (void)ledger.reverse(5, back());
    auto litres = lot_of("P-2", "ale yeast", "2026-01-21", 0.0);
    litres.received_amount = Amount::of(Litres(3.0));
    CHECK(refusal([&] { (void)book(ledger, with(litres), EntryKind::receive, "2026-01-21", "P-2"); }) ==
          "kind 1: lot `P-2`: a lot of that code was booked in another measure and taken back / give this one another "
          "code");
}

TEST_CASE("later entries that stand on one are listed, and it stays") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));

    SUBCASE("a lot that has been used") {
        (void)book(ledger, with(lot_of("P-2", "pale malt", "2026-01-20", 10.0)), EntryKind::receive, "2026-01-20",
                   "P-2");
        (void)book(ledger, with(brew_of("B1", "2026-02-01", {mash("P-2", 1.0)})), EntryKind::brew, "2026-02-01", "B1");
        (void)book(ledger, with(movement_of(MovementKind::discard, "P-2", "2026-02-02", -1.0)), EntryKind::discard,
                   "2026-02-02", "a wet kilo");
        CHECK(refusal([&] { (void)ledger.reverse(3, back()); }) ==
              "kind 1: entry 3 cannot be taken back: later entries stand on it / "
              "entry 4 (brew, 2026-02-01): B1; it needs lot `P-2`\n"
              "entry 5 (discard, 2026-02-02): a wet kilo; it needs lot `P-2`\n"
              "take these back first, newest first");
        (void)ledger.reverse(5, back());
        (void)ledger.reverse(4, back());
        (void)ledger.reverse(3, back());
        CHECK(!ledger.lot("P-2"));
        CHECK(ledger.verify().empty());
    }
    SUBCASE("an item of which no other version is left") {
        Book oats;
        oats.items = {malt("oat malt")};
        (void)book(ledger, oats, EntryKind::item, "2026-01-20", "oats");       // 3
        (void)book(ledger, oats, EntryKind::item, "2026-01-21", "oats again"); // 4
        (void)book(ledger, with(lot_of("O-1", "oat malt", "2026-01-22", 5.0)), EntryKind::receive, "2026-01-22", "O-1");
        (void)ledger.reverse(3, back()); // the second version still states it
        CHECK(refusal([&] {
                  (void)ledger.reverse(4, back());
              }).find("entry 5 (receive, 2026-01-22): O-1; it needs item `oat malt`\ntake it back first") !=
              std::string::npos);
    }
    SUBCASE("a plan that was brewed, though an older statement of it is left") {
        Book moved;
        moved.plans = brewery().plans;
        moved.plans[0].date = day("2026-02-12");
        (void)book(ledger, moved, EntryKind::plan, "2026-02-01", "moved PL-1"); // 3
        auto brew = brew_of("B1", "2026-02-12", {mash("P-1", 4.5)});
        brew.plan = "PL-1";
        (void)book(ledger, with(brew), EntryKind::brew, "2026-02-12", "B1"); // 4
        CHECK(refusal([&] {
                  (void)ledger.reverse(3, back());
              }).find("entry 4 (brew, 2026-02-12): B1; it needs plan `PL-1`") != std::string::npos);
        (void)ledger.reverse(4, back());
        CHECK(ledger.lot("P-1")->promised == Amount::of(Kilograms(4.5))); // promised again
        (void)ledger.reverse(3, back());
        CHECK(ledger.plans().at(0).date == day("2026-02-10"));
    }
    SUBCASE("a brew that was measured later") {
        (void)book(ledger, with(brew_of("B1", "2026-02-01", {})), EntryKind::brew, "2026-02-01", "B1");
        auto brew = brew_of("B1", "2026-02-01", {});
        brew.readings.emplace_back().volume = Litres(23.0);
        (void)book(ledger, with(brew), EntryKind::measure, "2026-02-01", "fermenter");
        CHECK(refusal([&] { (void)ledger.reverse(3, back()); })
                  .find("entry 4 (measure, 2026-02-01): fermenter; it needs "
                        "brew `B1`") != std::string::npos);
        (void)ledger.reverse(4, back());
        CHECK(ledger.brew("B1")->readings.empty());
        (void)ledger.reverse(3, back());
        CHECK(!ledger.brew("B1"));
    }
    SUBCASE("a reading that was set aside later") {
        auto brew = brew_of("B1", "2026-02-01", {});
        (void)book(ledger, with(brew), EntryKind::brew, "2026-02-01", "B1");
        brew.readings.emplace_back().volume = Litres(23.0);
        brew.readings[0].id = "r1";
        (void)book(ledger, with(brew), EntryKind::measure, "2026-02-01", "r1");
        brew.readings[0].set_aside = "misread";
        (void)book(ledger, with(brew), EntryKind::measure, "2026-02-02", "r1 set aside");
        CHECK(refusal([&] { (void)ledger.reverse(4, back()); })
                  .find("entry 5 (measure, 2026-02-02): r1 set aside; it "
                        "needs reading `r1`") != std::string::npos);
        (void)ledger.reverse(5, back());
        CHECK(!ledger.brew("B1")->readings[0].set_aside);
    }
    SUBCASE("a plan that has been brewed, a recipe that is planned") {
        Book plan;
        plan.recipes.emplace_back().name = "stout";
        plan.recipes[0].volume = Litres(20.0);
        (void)book(ledger, plan, EntryKind::recipe, "2026-02-01", "stout");
        Book dated;
        dated.plans.emplace_back();
        dated.plans[0].code = "PL-2";
        dated.plans[0].date = day("2026-02-05");
        dated.plans[0].recipe = "stout";
        (void)book(ledger, dated, EntryKind::plan, "2026-02-01", "PL-2");
        auto brew = brew_of("B1", "2026-02-05", {});
        brew.plan = "PL-2";
        (void)book(ledger, with(brew), EntryKind::brew, "2026-02-05", "B1");
        CHECK(refusal([&] { (void)ledger.reverse(3, back()); })
                  .find("entry 4 (plan, 2026-02-01): PL-2; it needs recipe "
                        "`stout`") != std::string::npos);
        CHECK(refusal([&] { (void)ledger.reverse(4, back()); })
                  .find("entry 5 (brew, 2026-02-05): B1; it needs plan "
                        "`PL-2`") != std::string::npos);
    }
    SUBCASE("a lot a plan reserves") {
        (void)book(ledger, with(lot_of("P-2", "pale malt", "2026-01-20", 10.0)), EntryKind::receive, "2026-01-20",
                   "P-2");
        Book dated;
        dated.plans = brewery().plans;
        dated.plans[0].reserved = {{0, "P-2", Amount::of(Kilograms(4.0))}};
        (void)book(ledger, dated, EntryKind::plan, "2026-02-01", "PL-1 from P-2");
        CHECK(refusal([&] { (void)ledger.reverse(3, back()); })
                  .find("entry 4 (plan, 2026-02-01): PL-1 from P-2; it needs "
                        "lot `P-2`") != std::string::npos);
    }
    SUBCASE("stock that a count found and a brew then used") {
        (void)book(ledger, with(movement_of(MovementKind::count, "P-1", "2026-01-20", 2.0)), EntryKind::count,
                   "2026-01-20", "two more");
        (void)book(ledger, with(brew_of("B1", "2026-02-01", {mash("P-1", 26.0)})), EntryKind::brew, "2026-02-01", "B1");
        CHECK(refusal([&] { (void)ledger.reverse(3, back()); }) ==
              "kind 1: entry 3 cannot be taken back: later entries stand on it / "
              "entry 4 (brew, 2026-02-01): B1; it takes from lot `P-1` what this one brought\ntake it back first: "
              "lotwort reverse 4");
    }
    CHECK(ledger.verify().empty());
}

TEST_CASE("entries of a name nobody uses, and a hold, are taken back in any order") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    auto lot = ledger.lot("W-1")->lot;
    lot.held = "smells of smoke";
    (void)book(ledger, with(lot), EntryKind::hold, "2026-02-01", "held");
    lot.held = "smells of smoke, the maltster looks";
    (void)book(ledger, with(lot), EntryKind::hold, "2026-02-02", "held on");
    (void)ledger.reverse(3, back());
    CHECK(ledger.lot("W-1")->lot.held == "smells of smoke, the maltster looks");
    (void)ledger.reverse(4, back());
    CHECK(!ledger.lot("W-1")->lot.held);
}

TEST_CASE("the ledger's history names what each entry did, newest first") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    (void)book(ledger, with(lot_of("P-2", "pale malt", "2026-01-20", 10.0)), EntryKind::receive, "2026-01-20", "P-2");
    (void)book(ledger, with(brew_of("B1", "2026-02-01", {mash("P-2", 1.0)})), EntryKind::brew, "2026-02-01", "B1");
    (void)ledger.reverse(4, back("wrong lot"));
    const auto numbers = [&](const HistoryFilter& filter) {
        std::string text;
        for (const auto& entry : ledger.history(filter)) text += std::to_string(entry.number) + " ";
        return text;
    };
    CHECK(numbers({}) == "5 4 3 2 1 ");
    HistoryFilter filter;
    filter.last = 2;
    CHECK(numbers(filter) == "5 4 ");
    filter = {};
    filter.lot = "P-2";
    CHECK(numbers(filter) == "5 4 3 ");
    filter.kind = EntryKind::brew;
    CHECK(numbers(filter) == "4 ");
    filter = {};
    filter.brew = "B1";
    CHECK(numbers(filter) == "5 4 ");
    filter = {};
    filter.item = "pale malt";
    CHECK(numbers(filter) == "5 4 3 2 ");
    filter.item = "ale yeast";
    CHECK(numbers(filter) == "2 ");
    filter = {};
    filter.from = day("2026-01-20");
    filter.to = day("2026-02-01");
    CHECK(numbers(filter) == "4 3 ");
    const auto entry = ledger.entry(5);
    CHECK(entry->head.why == "wrong lot");
    CHECK(entry->head.by == "Ada");
    CHECK(entry->head.booked_at == "2026-03-01T08:00:00Z");
    CHECK(!ledger.entry(6));
}

namespace {

// B1 of 4.5 kg (entry 3) and 2 kg added to it (entry 4), and what takes back the use that entry 3 or 4 booked.
struct Corrected {
    Folder folder;
    Ledger ledger = stocked_ledger(folder.file("l"));
    Brew head_only = brew_of("B1", "2026-02-01", {});
    Corrected() {
        (void)book(ledger, with(brew_of("B1", "2026-02-01", {mash("P-1", 4.5)})), EntryKind::brew, "2026-02-01", "B1");
        (void)book(ledger, with(brew_of("B1", "2026-02-01", {mash("P-1", 2.0)})), EntryKind::brew, "2026-02-01",
                   "more");
    }
    [[nodiscard]] Movement opposite_of(double mass_kg) const {
        auto answer = movement_of(MovementKind::reversal, "P-1", "2026-02-01", mass_kg);
        for (const auto& use : ledger.movements("P-1"))
            if (use.change == -answer.change) answer.reverses = use.id;
        return answer;
    }
    [[nodiscard]] std::string correct(double mass_kg, const std::vector<Brew>& brews) {
        Book part;
        part.brews = brews;
        part.movements = {opposite_of(mass_kg)};
        return refusal([&] { (void)book(ledger, part, EntryKind::brew, "2026-02-02", "corrected B1"); });
    }
};

} // namespace

TEST_CASE("a weight that was corrected: neither its entry nor the correction is taken back, and both say why") {
    Corrected c;
    CHECK(c.correct(2.0, {c.head_only}) == "nothing"); // nothing of it went in
    CHECK(c.ledger.lot("P-1")->on_hand == Amount::of(Kilograms(20.5)));
    HistoryFilter of_brew;
    of_brew.brew = "B1";
    CHECK(c.ledger.history(of_brew).size() == 3);
    for (const int entry : {3, 4}) {
        const auto said = refusal([&] { (void)c.ledger.reverse(entry, back()); });
        CHECK(said.find("cannot be taken back: later entries stand on it") != std::string::npos);
        CHECK(said.find("entry 5 (brew, 2026-02-02): corrected B1; it ") != std::string::npos);
        CHECK(said.find(
                  "a correction stays\ncorrect it again: lotwort brew B1 --correct LOT=AMOUNT\nor give the brew up: "
                  "lotwort brew B1 --abandon REASON") != std::string::npos);
    }
    CHECK(refusal([&] { (void)c.ledger.reverse(5, back()); }).find("is a correction and cannot be taken back itself") !=
          std::string::npos);
    CHECK(c.ledger.verify().empty());
}

TEST_CASE("a weight is corrected under its own brew, once, and not after that was given up") {
    Corrected c;
    CHECK(c.correct(2.0, {}).find("what went into brew `B1` is taken back by an entry that does not name it") !=
          std::string::npos);
    CHECK(c.correct(2.0, {brew_of("B2", "2026-02-01", {mash("P-1", 1.0)})}).find("does not name it") !=
          std::string::npos);
    CHECK(c.correct(2.0, {c.head_only}) == "nothing");
    CHECK(c.correct(2.0, {c.head_only}) != "nothing");
    Brew end = c.head_only;
    end.abandoned = "stuck";
    end.unused = {{"P-1", Amount::of(Kilograms(4.5)), day("2026-02-03")}};
    (void)book(c.ledger, with(end), EntryKind::brew, "2026-02-03", "gave up B1");
    end.unused.clear();
    end.additions = {mash("P-1", 4.0)};
    CHECK(c.correct(4.5, {end}).find("brew `B1` was given up: stuck; what went into it is corrected no more") !=
          std::string::npos);
    CHECK(c.ledger.lot("P-1")->on_hand == Amount::of(Kilograms(25.0)));
    CHECK(c.ledger.verify().empty());
}

TEST_CASE("what was added to a brew is not taken back once it came back from the brew's giving up") {
    Corrected c;
    Brew end = c.head_only;
    end.abandoned = "stuck";
    end.unused = {{"P-1", Amount::of(Kilograms(5.0)), day("2026-02-03")}};
    (void)book(c.ledger, with(end), EntryKind::brew, "2026-02-03", "gave up B1");
    CHECK(refusal([&] { (void)c.ledger.reverse(4, back()); }).find("entry 5 (brew, 2026-02-03): gave up B1") !=
          std::string::npos);
    CHECK(c.ledger.lot("P-1")->on_hand == Amount::of(Kilograms(23.5)));
    (void)c.ledger.reverse(5, back()); // it went on after all
    (void)c.ledger.reverse(4, back());
    CHECK(c.ledger.lot("P-1")->on_hand == Amount::of(Kilograms(20.5)));
    CHECK(c.ledger.verify().empty());
}
