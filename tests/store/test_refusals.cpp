// What cannot be booked, and what is said about it. Each refusal leaves the ledger as it was.
#include "ledger_support.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <limits>

using namespace lotwort;
using namespace lotwort::test;

namespace {

std::string refused(Ledger& ledger, const Book& part, EntryKind kind = EntryKind::import_file) {
    const auto before = ledger.history({}).size();
    const auto said = refusal([&] { (void)ledger.append(part, head(kind, "2026-03-01")); });
    CHECK(ledger.history({}).size() == before);
    return said;
}

} // namespace

TEST_CASE("a short lot: what is there and since when, what was asked, and where else the item lies") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    (void)ledger.append(with(lot_of("P-2", "pale malt", "2026-01-20", 10.0)), head(EntryKind::receive, "2026-01-20"));
    (void)ledger.append(with(brew_of("B1", "2026-02-01", {mash("P-1", 20.0)})), head(EntryKind::brew, "2026-02-01"));

    CHECK(refused(ledger, with(brew_of("B2", "2026-03-01", {mash("P-1", 6.0)}))) ==
          "kind 3: lot `P-1` of pale malt is short: 6 kg wanted for brew `B2` on 2026-03-01, 5 kg there since "
          "2026-02-01 / free of pale malt: 10 kg in P-2");

    SUBCASE("what the same entry takes besides is said") {
        CHECK(refused(ledger, with(brew_of("B2", "2026-03-01", {mash("P-1", 4.0), mash("P-1", 2.0)}))) ==
              "kind 3: lot `P-1` of pale malt is short: 2 kg wanted for brew `B2` on 2026-03-01 (besides 4 kg that the "
              "same entry takes), 1 kg there since 2026-03-01 / free of pale malt: 10 kg in P-2");
    }
    SUBCASE("a brew written down late cannot take what a later one has used") {
        CHECK(refused(ledger, with(brew_of("B0", "2026-01-15", {mash("P-1", 6.0)}))) ==
              "kind 3: lot `P-1` of pale malt is short: 6 kg wanted for brew `B0` on 2026-01-15, 25 kg there then, but "
              "only 5 kg from 2026-02-01 on, when entry 4 takes from it / no other lot of pale malt has any free");
        (void)ledger.append(with(brew_of("B0", "2026-01-15", {mash("P-1", 5.0)})), head(EntryKind::brew, "2026-01-15"));
        CHECK(ledger.lot("P-1")->on_hand.units == 0);
    }
    SUBCASE("nothing comes from a lot before it came in") {
        CHECK(
            refused(ledger, with(brew_of("B2", "2026-01-10", {mash("P-2", 1.0)}))) ==
            "kind 1: brew `B2`: lot `P-2` of pale malt arrived on 2026-01-20, it was not there on 2026-01-10 / look at "
            "the day, or at the lot");
        CHECK(refused(ledger, with(movement_of(MovementKind::count, "P-2", "2026-01-19", 1.0)))
                  .starts_with("kind 1: a count: lot `P-2` of pale malt arrived on 2026-01-20, it was not there on"));
    }
    SUBCASE("a discard and a count are held to it as well") {
        CHECK(refused(ledger, with(movement_of(MovementKind::discard, "P-1", "2026-03-01", -5.5)))
                  .starts_with(
                      "kind 3: lot `P-1` of pale malt is short: 5.5 kg wanted for a discard on 2026-03-01, 5 kg"));
        CHECK(refused(ledger, with(movement_of(MovementKind::count, "P-1", "2026-03-01", -5.5)))
                  .starts_with("kind 3: lot `P-1` of pale malt is short: 5.5 kg wanted for a count"));
    }
    SUBCASE("lots on hold and promised stock are not offered") {
        auto lot = ledger.lot("P-2")->lot;
        lot.held = "wet";
        (void)ledger.append(with(lot), head(EntryKind::hold, "2026-02-20"));
        CHECK(refused(ledger, with(brew_of("B2", "2026-03-01", {mash("P-1", 6.0)})))
                  .ends_with("/ no other lot of pale malt has any free"));
    }
}

TEST_CASE("a name nobody knows is refused, and the nearest offered") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    CHECK(refused(ledger, with(lot_of("P-2", "pale mlat", "2026-01-20", 10.0))) ==
          "kind 1: lot `P-2`: there is no item `pale mlat` / did you mean `pale malt`?");
    CHECK(refused(ledger, with(brew_of("B1", "2026-01-20", {mash("P1", 1.0)}))) ==
          "kind 1: brew `B1`: there is no lot `P1` / did you mean `P-1`?");
    Brew brew = brew_of("B1", "2026-01-20", {});
    brew.brewhouse = "Mian";
    CHECK(refused(ledger, with(brew)) == "kind 1: brew `B1`: there is no brewhouse `Mian` / did you mean `main`?");
    brew = brew_of("B1", "2026-01-20", {});
    brew.recipe = "ordinary";
    CHECK(refused(ledger, with(brew)) ==
          "kind 1: brew `B1`: there is no recipe `ordinary` / did you mean `ordinary pale`?");
    brew = brew_of("B1", "2026-01-20", {});
    brew.plan = "PL-7";
    CHECK(refused(ledger, with(brew)) == "kind 1: brew `B1`: there is no plan `PL-7` / did you mean `PL-1`?");
    brew = brew_of("B1", "2026-01-20", {});
    brew.readings.emplace_back().gravity_instrument = "hydrometer";
    CHECK(refused(ledger, with(brew)) == "kind 1: brew `B1`: there is no instrument `hydrometer`");
    Movement use = movement_of(MovementKind::brew, "P-1", "2026-01-20", -1.0);
    use.brew = "B9";
    use.stage = Stage::mash;
    CHECK(refused(ledger, with(use)) == "kind 1: brew of 2026-01-20: there is no brew `B9` / there is no brew yet");
    Book recipe;
    recipe.recipes.emplace_back().name = "stout";
    recipe.recipes[0].volume = Litres(23.0);
    recipe.recipes[0].hops.emplace_back().item = "biterin hop";
    CHECK(refused(ledger, recipe) ==
          "kind 1: recipe `stout`: there is no item `biterin hop` / did you mean `bittering hop`?");
}

TEST_CASE("a name may come with the book that uses it") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    Book book = with(lot_of("O-1", "oat malt", "2026-01-20", 10.0));
    book.items = {malt("oat malt"), malt("naked oat malt")};
    book.items[0].stands_for = {{"naked oat malt", {}}};
    book.brews = {brew_of("B1", "2026-01-21", {mash("O-1", 1.0)})};
    CHECK(ledger.append(book, head(EntryKind::import_file, "2026-01-21")).number == 3);
}

TEST_CASE("codes and names are booked once, and are fit to be typed") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    CHECK(
        refused(ledger, with(lot_of("P-1", "pale malt", "2026-01-20", 10.0)))
            .starts_with("kind 1: lot `P-1` is there already, with another supplier, supplier_lot, received, mass_kg"));
    Book twice = with(lot_of("P-2", "pale malt", "2026-01-20", 10.0));
    twice.lots.push_back(twice.lots[0]);
    CHECK(refused(ledger, twice) == "kind 1: lot `P-2` stands twice in what is to be booked");
    Book offers;
    offers.offers = {brewery().offers[0], brewery().offers[0]};
    CHECK(refused(ledger, offers).starts_with("kind 1: offer of hill maltings for pale malt stands twice"));
    for (const std::string name : {"", " P", "P ", "a\nb", "a\x7f"})
        CHECK(refused(ledger, with(lot_of(name, "pale malt", "2026-01-20", 10.0)))
                  .starts_with("kind 1: lot `" + name + "` cannot be booked under that name"));
}

TEST_CASE("figures out of their range, and what is no figure, stay outside") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    Book book;
    book.items = {malt("rye malt")};
    book.items[0].moisture = Percent(45.0);
    CHECK(refused(ledger, book) == "kind 1: item `rye malt`: moisture_pct is 45, which is not from 0 to 30");
    book.items[0].moisture = Percent(std::numeric_limits<double>::quiet_NaN());
    CHECK(refused(ledger, book) == "kind 1: item `rye malt`: moisture_pct is nan, which is not from 0 to 30");
    book.items[0].moisture = Percent(std::numeric_limits<double>::infinity());
    CHECK(refused(ledger, book).starts_with("kind 1: item `rye malt`: moisture_pct is inf"));
    book.items[0].moisture.reset();
    book.items[0].group = std::string("a\0b", 3);
    CHECK(refused(ledger, book) ==
          "kind 1: item `rye malt`: group holds a control character (U+0000) / type it anew, on one line");
    book.items[0].group = "a\nb";
    CHECK(refused(ledger, book).starts_with("kind 1: item `rye malt`: group holds a line end"));
    CHECK(refused(ledger, with(lot_of("P-2", "pale malt", "2026-01-20", 0.0))) ==
          "kind 1: lot `P-2`: a lot of nothing; leave it out");
    CHECK(refused(ledger, with(brew_of("B1", "2026-01-20", {mash("P-1", -1.0)})))
              .starts_with("kind 1: brew `B1`: an addition is -1"));
    Brew brew = brew_of("B1", "2026-01-20", {});
    brew.readings.emplace_back().at = "25:00";
    brew.readings[0].ph = 5.4;
    CHECK(refused(ledger, with(brew)) ==
          "kind 1: brew `B1`: readings[0].at: `25:00` is no time of day; write HH:MM, such as 09:30");
    Book supplier;
    supplier.suppliers.emplace_back().name = "hop yard";
    supplier.suppliers[0].closed_weekdays = {"sunday", "Monday"};
    CHECK(refused(ledger, supplier)
              .starts_with("kind 1: supplier `hop yard`: closed_weekdays: `Monday` is none of monday"));
    Book offer;
    offer.offers = {brewery().offers[0]};
    offer.offers[0].pack_count = 3;
    CHECK(refused(ledger, offer).starts_with("kind 1: offer of `hill maltings`: needs exactly one of pack_kg"));
}

TEST_CASE("what is weighed is not counted, and what is counted not weighed") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    CHECK(refused(ledger, with(brew_of("B1", "2026-01-20", {mash("Y-1", 1.0)}))) ==
          "kind 1: brew `B1`: lot `Y-1` is kept in pieces, not by mass");
    auto count = movement_of(MovementKind::count, "P-1", "2026-01-20", 0.0);
    count.change = Amount::pieces(2);
    CHECK(refused(ledger, with(count)) == "kind 1: a count: lot `P-1` is kept by mass, not in pieces");
    Book plan;
    plan.plans = brewery().plans;
    plan.plans[0].reserved = {{0, "P-1", Amount::of(Litres(2.0))}};
    CHECK(refused(ledger, plan) == "kind 1: plan `PL-1`: lot `P-1` is kept in another measure");
}

TEST_CASE("movements of a book that cannot stand") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    const auto receipt = movement_of(MovementKind::receipt, "P-1", "2026-01-20", 5.0);
    CHECK(refused(ledger, with(receipt)) ==
          "kind 1: receipt of lot `P-1` on 2026-01-20: what a lot received stands in the lot");
    CHECK(refused(ledger, with(movement_of(MovementKind::brew, "P-1", "2026-01-20", -5.0))) ==
          "kind 1: brew of lot `P-1` on 2026-01-20: what went into a brew names the brew and the stage");
    Book pair = with(movement_of(MovementKind::discard, "P-1", "2026-01-20", -5.0));
    pair.movements[0].id = "m1";
    pair.movements.push_back(movement_of(MovementKind::reversal, "P-1", "2026-01-20", 4.0));
    CHECK(refused(ledger, pair).ends_with("is missing: a reversal names what it takes back"));
    pair.movements[1].reverses = "m2";
    CHECK(refused(ledger, pair).ends_with("there is no movement `m2` to take back"));
    pair.movements[1].reverses = "m1";
    CHECK(refused(ledger, pair)
              .ends_with("a reversal is equal, opposite and of the same lot and day as what it takes back"));
    pair.movements[1].change = Amount::of(Kilograms(5.0));
    pair.movements.push_back(pair.movements[1]);
    CHECK(refused(ledger, pair).ends_with("movement `m1` is taken back twice"));
    pair.movements.pop_back();
    CHECK(ledger.append(pair, head(EntryKind::import_file, "2026-01-20")).number == 3);
}

TEST_CASE("another currency, and nothing at all, are not booked") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    Book book;
    CHECK(refused(ledger, book) == "kind 1: there is nothing to book");
    book.currency = "USD";
    book.items = {malt("rye malt")};
    CHECK(refused(ledger, book) == "kind 1: prices in USD cannot be booked: the ledger is in EUR");
    CHECK(refusal([&] { Ledger::create(folder.file("m"), "euro", head(EntryKind::init, "2026-01-01")); }) ==
          "kind 1: `euro` is no currency / three capital letters of ISO 4217, such as EUR, GBP or USD");
}

// What breaks if this breaks: a book of another program goes in, and no export of the ledger can be read again.
TEST_CASE("no record goes in that a file could not bring") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    const auto item = [](auto&& change) {
        Book book;
        book.items = {malt("rye malt")};
        change(book.items[0]);
        return book;
    };
    const auto recipe = [](auto&& change) {
        Book book;
        book.recipes = brewery().recipes;
        change(book.recipes[0]);
        return book;
    };
    const auto lot = [](auto&& change) {
        Lot lot = lot_of("P-2", "pale malt", "2026-01-20", 10.0);
        change(lot);
        return with(lot);
    };
    const auto reading = [](auto&& change) {
        Brew brew = brew_of("B1", "2026-01-20", {});
        change(brew.readings.emplace_back());
        return with(brew);
    };
    const std::vector<std::pair<Book, std::string>> faulty{
        {item([](Item& i) { i.stands_for.emplace_back().item = "rye malt"; }), "cannot stand in for itself"},
        {item([](Item& i) { i.kind = ItemKind::sugar, i.malt_class = "base"; }), "is of a malt alone"},
        {item([](Item& i) { i.extract = Percent(300.0); }), "is more than the malt itself"},
        {recipe([](Recipe& r) { r.grist[0].share.reset(); }), "needs either share_pct or mass_kg"},
        {recipe([](Recipe& r) { r.grist[0].share = Percent(50.0); }), "the shares sum to"},
        {recipe([](Recipe& r) { r.original_gravity.reset(); }), "gets its masses from it"},
        {recipe([](Recipe& r) { r.hops[0].stage = Stage::mash; }), "hops go into boil, stand or dry"},
        {recipe([](Recipe& r) { r.hops[0].minutes = Minutes(90.0); }), "in a boil of"},
        {recipe([](Recipe& r) { r.others[0].volume = Litres(1.0); }), "needs exactly one of"},
        {lot([](Lot& l) { l.received_amount = Amount::of(Litres(10.0)); }), "are received by mass"},
        {lot([](Lot& l) { l.certificate.emplace().alpha = Percent(5.0); }), "alpha acids are of hops"},
        {lot([](Lot& l) { l.opened = l.received - std::chrono::days(1); }), "is before the lot was received"},
        {lot([](Lot& l) { l.crop_year = year_of(l.received) + 1; }), "is after the lot was received"},
        {reading([](Reading& r) { r.ph.reset(); }), "reads nothing"},
        {reading([](Reading& r) { r.volume = Litres(20.0), r.mass = Kilograms(20.0); }), "states more than one"},
        {reading([](Reading& r) { r.mill_gap = Millimetres(1.2); }), "belongs to the mash"},
    };
    for (const auto& [book, what] : faulty) {
        const std::string said = refused(ledger, book);
        CHECK_MESSAGE(said.find(what) != std::string::npos, what, ": ", said);
    }
}
