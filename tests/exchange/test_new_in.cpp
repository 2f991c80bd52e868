// Import is a difference: what the file holds and the ledger does not. A file read twice changes nothing.
#include "exchange/generated_book.hpp"
#include "golden.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <set>

using namespace lotwort;
using test::generated_book;
using test::project_file;

namespace {

Book first_brewery() {
    return read_exchange(project_file("tests/golden/first-brewery.json"), "first-brewery.json");
}

// Appends a part as brew/book.hpp says a ledger does.
template <class Record>
void append(std::vector<Record>& to, const std::vector<Record>& part) {
    to.insert(to.end(), part.begin(), part.end());
}
Book appended(Book ledger, const Book& part) {
    append(ledger.items, part.items);
    append(ledger.instruments, part.instruments);
    append(ledger.brewhouses, part.brewhouses);
    append(ledger.lots, part.lots);
    append(ledger.recipes, part.recipes);
    append(ledger.suppliers, part.suppliers);
    append(ledger.offers, part.offers);
    append(ledger.orders, part.orders);
    append(ledger.plans, part.plans);
    append(ledger.packages, part.packages);
    // ids tie the movements of one file together and say nothing to the ledger
    std::set<std::string> taken;
    for (const Movement& movement : ledger.movements) taken.insert(movement.id.value_or(""));
    const auto own = [&](std::optional<std::string>& id) {
        if (id && taken.contains(*id)) id = "new " + *id;
    };
    std::vector<Movement> movements = part.movements;
    for (Movement& movement : movements) {
        own(movement.id);
        own(movement.reverses);
    }
    append(ledger.movements, movements);
    for (const Brew& brew : part.brews) {
        const auto known = std::find_if(ledger.brews.begin(), ledger.brews.end(),
                                        [&](const Brew& other) { return other.code == brew.code; });
        if (known == ledger.brews.end()) {
            ledger.brews.push_back(brew);
            continue;
        }
        append(known->additions, brew.additions);
        append(known->readings, brew.readings);
    }
    return ledger;
}

// The first half of every list.
Book half_of(Book book) {
    const auto halve = [](auto& list) { list.resize((list.size() + 1) / 2); };
    halve(book.items);
    halve(book.instruments);
    halve(book.brewhouses);
    halve(book.lots);
    halve(book.recipes);
    for (Brew& brew : book.brews) {
        halve(brew.additions);
        halve(brew.readings);
    }
    halve(book.suppliers);
    halve(book.offers);
    halve(book.orders);
    halve(book.plans);
    // a reversal goes with what it takes back
    std::set<std::string> kept;
    for (std::size_t i = 0; i < book.movements.size() / 2; ++i) kept.insert(*book.movements[i].id);
    std::erase_if(book.movements, [&](const Movement& m) { return !kept.contains(m.reverses ? *m.reverses : *m.id); });
    return book;
}

std::string refusal(const Book& file, const Book& ledger) {
    try {
        (void)new_in(file, ledger, "f");
        return {};
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::refused);
        return error.what();
    }
}

} // namespace

TEST_CASE("a file read twice changes nothing") {
    for (const char* name : {"first-brewery.json", "second-brewery.json", "substitution/two_brews_compete/case.json"}) {
        CAPTURE(name);
        const Book file = read_exchange(project_file(std::string("tests/golden/") + name), name);
        const Book part = new_in(file, Book{}, name);
        const Book ledger = appended(Book{}, part);
        CHECK(ledger.lots == file.lots);
        CHECK(ledger.brews == file.brews);
        CHECK(ledger.movements == file.movements);
        CHECK(new_in(file, ledger, name) == Book{});
    }
}

TEST_CASE("whatever part of a book a ledger holds, the rest is added once") {
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        CAPTURE(seed);
        const Book book = generated_book(seed);
        const Book ledger = half_of(book);
        Book whole;
        REQUIRE_NOTHROW(whole = appended(ledger, new_in(book, ledger, "f")));
        const auto by_id = [](std::vector<Movement> movements) {
            std::ranges::sort(movements, {}, &Movement::id);
            return movements;
        };
        CHECK(by_id(whole.movements) == by_id(book.movements));
        CHECK(whole.brews == book.brews);
        CHECK(whole.lots == book.lots);
        whole.movements = book.movements;
        CHECK(whole == book);
        CHECK(new_in(book, whole, "f") == Book{});
    }
}

TEST_CASE("who sells or has been ordered from needs no record: a supplier without terms is a name alone") {
    Book file;
    file.items.emplace_back().name = "malt";
    Offer& offer = file.offers.emplace_back();
    offer.supplier = "Northfield";
    offer.item = "malt";
    offer.pack = Kilograms(25.0);
    Book part = new_in(file, Book{}, "f");
    CHECK(part.suppliers.empty()); // else what is exported again would hold more than what was imported

    part.suppliers.emplace_back().name = "Northfield";
    // once known by name alone, a supplier takes the terms that a file states
    Book terms;
    terms.suppliers.push_back({"Northfield", Money{900}, {}, {}, 3, {}});
    CHECK(new_in(terms, part, "f").suppliers == terms.suppliers);
    Book other = terms;
    other.suppliers[0].delivery = Money{1050};
    CHECK(refusal(other, terms) == "f: supplier Northfield: delivery: 10.5 in the file, 9 in the ledger");
}

TEST_CASE("a known brew gains the additions and readings that are new, each counted") {
    Book file = first_brewery();
    Book ledger = file;
    Brew& brew = file.brews[0];
    const std::size_t readings = brew.readings.size();

    brew.additions.push_back(brew.additions[0]); // a second weighing of the same: it is another one
    Reading late;
    late.point = ReadingPoint::final_beer;
    late.gravity_sg = SpecificGravity(1.010);
    late.id = "r1"; // a number by place in another file; r1 is taken
    brew.readings.push_back(late);

    const Book part = new_in(file, ledger, "f");
    REQUIRE(part.brews.size() == 1);
    CHECK(part.brews[0].code == "B001");
    CHECK(part.brews[0].date == brew.date);
    CHECK(part.brews[0].additions == std::vector<Addition>{brew.additions[0]});
    REQUIRE(part.brews[0].readings.size() == 1);
    late.id = "r" + std::to_string(readings + 1);
    CHECK(part.brews[0].readings[0] == late);
    CHECK(new_in(file, appended(ledger, part), "f") == Book{});
}

TEST_CASE("a reading set aside in the ledger since is still the same reading") {
    const Book file = first_brewery();
    Book ledger = file;
    ledger.brews[0].readings[2].set_aside = "the sample was hot";
    CHECK(new_in(file, ledger, "f") == Book{});
    // but a file cannot set aside what the ledger uses
    CHECK(refusal(ledger, file) ==
          "f: brew B001: reading r3: set_aside: \"the sample was hot\" in the file, nothing in the ledger");
}

TEST_CASE("a reading with a name of its own is that reading") {
    Book file = first_brewery();
    file.brews[0].readings[2].id = "kettle";
    const Book ledger = file;
    CHECK(new_in(file, ledger, "f") == Book{});
    file.brews[0].readings[2].volume = Litres(28.0);
    CHECK(refusal(file, ledger) == "f: brew B001: reading kettle: volume_l: 28 in the file, 29 in the ledger");
    file.brews[0].readings[2] = ledger.brews[0].readings[2];
    file.brews[0].readings[2].id = "r3"; // numbered where the name was not known
    CHECK(new_in(file, ledger, "f") == Book{});
}

TEST_CASE("what the ledger holds with other figures is refused, all of it") {
    Book ledger = first_brewery();
    Book file = ledger;
    file.lots[1].received_amount = Amount{Measure::mass, 24'000'000};
    file.lots[1].certificate->extract = Percent(80.5);
    file.items[0].colour.reset();
    file.recipes[0].volume = Litres(25.0);
    file.brews[1].date = *parse_iso_date("2025-01-14");
    file.brewhouses[0].altitude = Metres(500.0);
    file.instruments[0].bias_sd = 0.002;
    file.plans[0].volume = Litres(20.0);
    file.offers[0].lead_days = 99;
    const std::string told = refusal(file, ledger);
    const std::string offer = "f: offer of " + ledger.offers[0].supplier + ", " + ledger.offers[0].item;
    CHECK(told == "f differs from the ledger in 9 places\n"
                  "f: item pale malt: colour_ebc: nothing in the file, 6 in the ledger\n"
                  "f: instrument hydrometer: bias_sd: 0.002 in the file, 0.001 in the ledger\n"
                  "f: brewhouse main: altitude_m: 500 in the file, nothing in the ledger\n"
                  "f: recipe ordinary pale: volume_l: 25 in the file, 23 in the ledger\n"
                  "f: plan " +
                      ledger.plans[0].code +
                      ": volume_l: 20 in the file, 23 in the ledger\n"
                      "f: lot LLM-01: mass_kg: 24 kg in the file, 25 kg in the ledger\n"
                      "f: lot LLM-01: certificate.extract_pct: 80.5 in the file, 81 in the ledger\n"
                      "f: brew B002: date: \"2025-01-14\" in the file, \"2025-01-13\" in the ledger\n" +
                      offer + ": lead_days: 99 in the file, " + std::to_string(*ledger.offers[0].lead_days) +
                      " in the ledger");
    CHECK_THROWS_AS((void)new_in(file, ledger, "f"), Error);

    Book dollars;
    dollars.currency = "USD";
    CHECK(refusal(dollars, ledger) == "f: money in USD; the ledger is kept in EUR");
}

TEST_CASE("the ledger may know more of a lot than the file, and gains the retests it lacks") {
    const Book file = first_brewery();
    Book ledger = file;
    ledger.lots[0].held = "smells of cheese";
    Retest retest;
    retest.on = *parse_iso_date("2025-05-01");
    retest.found.alpha = Percent(10.1);
    ledger.lots[0].retests.push_back(retest);
    CHECK(new_in(file, ledger, "f") == Book{});

    Book later = ledger;
    later.lots[0].held.reset();
    retest.on = *parse_iso_date("2025-07-01");
    later.lots[0].retests.push_back(retest);
    const Book part = new_in(later, ledger, "f");
    REQUIRE(part.lots.size() == 1);
    CHECK(part.lots[0].retests == std::vector<Retest>{retest});
    CHECK(part.lots[0].held == ledger.lots[0].held); // a file does not release what the ledger holds back
    // nor does it hold back what the ledger has released
    CHECK(refusal(ledger, file) == "f: lot BH-01: held: \"smells of cheese\" in the file, nothing in the ledger");
}

TEST_CASE("a name that neither holds is refused, with the nearest that one of them does") {
    Book ledger = first_brewery();
    Book file;
    Lot& lot = file.lots.emplace_back();
    lot.code = "X-01";
    lot.item = "pale mlat";
    lot.received_amount = Amount{Measure::mass, 1'000'000};
    Brew& brew = file.brews.emplace_back();
    brew.code = "B900";
    brew.brewhouse = "mian";
    brew.recipe = "ordinary pal";
    brew.additions.push_back({"PM-0l", Stage::mash, Amount{Measure::mass, 1}, {}, {}, "malt scales", {}});
    brew.additions.push_back({"PM-01", Stage::mash, Amount{Measure::volume, 1}, {}, {}, {}, {}});
    Reading& reading = brew.readings.emplace_back();
    reading.id = "r1";
    reading.gravity_instrument = "hydrometer 2";
    Offer& offer = file.offers.emplace_back();
    offer.supplier = "anyone";
    offer.item = "zzzzzzzz";
    CHECK(
        refusal(file, ledger) ==
        "f holds 8 faults\n"
        "f: lot X-01: no item is called `pale mlat`, neither in the file nor in the ledger; did you mean `pale malt`?\n"
        "f: offer of anyone: no item is called `zzzzzzzz`, neither in the file nor in the ledger; known: amber caramel "
        "malt, bittering hop, light lager malt, pale malt, wheat malt\n"
        "f: brew B900: no brewhouse is called `mian`, neither in the file nor in the ledger; did you mean `main`?\n"
        "f: brew B900: no recipe is called `ordinary pal`, neither in the file nor in the ledger; did you mean "
        "`ordinary pale`?\n"
        "f: brew B900, additions: no lot is called `PM-0l`, neither in the file nor in the ledger; did you mean "
        "`PM-01`, `PM-02` or `PM-03`?\n"
        "f: brew B900, additions: no instrument is called `malt scales`, neither in the file nor in the ledger; did "
        "you "
        "mean `malt scale`?\n"
        "f: brew B900, additions: 0.001 ml of lot `PM-01`, which is kept by mass\n"
        "f: brew B900, reading r1: no instrument is called `hydrometer 2`, neither in the file nor in the ledger; did "
        "you mean `hydrometer`?");
}

TEST_CASE("what a plan awaits of a malt or a hop is a mass, as its lots are kept") {
    Book file;
    Recipe& recipe = file.recipes.emplace_back();
    recipe.name = "pale";
    recipe.volume = Litres(20.0);
    recipe.grist = {{"malt", {}, Kilograms(4.0)}};
    file.items.emplace_back().name = "malt";
    file.brewhouses.emplace_back().name = "kit";
    Plan& plan = file.plans.emplace_back();
    plan.code = "P1";
    plan.recipe = "pale";
    plan.brewhouse = "kit";
    plan.adopted = "nearest";
    plan.awaited = {{0, Amount{Measure::count, 3}}};
    CHECK(refusal(file, {}) == "f: plan P1, awaited: 3 pieces of line 0 of pale, which is kept by mass");
    plan.awaited[0].amount = Amount{Measure::mass, 3'000'000};
    CHECK(new_in(file, {}, "f").plans.size() == 1);
}

namespace {

Book book_of_two_lots() {
    Book book;
    book.items.emplace_back().name = "malt";
    for (const char* code : {"L1", "L2"}) {
        Lot& lot = book.lots.emplace_back();
        lot.code = code;
        lot.item = "malt";
        lot.received_amount = Amount{Measure::mass, 25'000'000};
    }
    return book;
}

Movement counted(const std::string& id) {
    Movement count;
    count.id = id;
    count.on = *parse_iso_date("2026-03-01");
    count.lot = "L1";
    count.kind = MovementKind::count;
    count.change = Amount{Measure::mass, -200'000};
    return count;
}

Movement taken_back(const std::string& id, const Movement& first) {
    Movement back = first;
    back.id = id;
    back.kind = MovementKind::reversal;
    back.change = -first.change;
    back.reverses = first.id;
    return back;
}

} // namespace

TEST_CASE("movements are told apart by what they say, not by their ids") {
    Book ledger = book_of_two_lots();
    ledger.movements = {counted("m7")};
    Book file = ledger;
    file.movements[0].id = "a";
    CHECK(new_in(file, ledger, "f") == Book{}); // the same, by another id

    // said twice is one more
    file.movements = {counted("a"), counted("m7")};
    std::vector<Movement> fresh = new_in(file, ledger, "f").movements;
    REQUIRE(fresh.size() == 1);
    CHECK(fresh[0].change == counted("a").change);
    CHECK(new_in(file, appended(ledger, new_in(file, ledger, "f")), "f") == Book{});
}

TEST_CASE("what was counted and taken back comes with its reversal, and is not what stands") {
    Book ledger = book_of_two_lots();
    ledger.movements = {counted("m7")};
    Book file = ledger;
    file.movements = {counted("m7"), taken_back("m8", counted("m7")), counted("m9")};
    const Book part = new_in(file, ledger, "f");
    REQUIRE(part.movements.size() == 2);
    CHECK(part.movements[0] == file.movements[0]); // the ledger's m7 is the file's m9
    CHECK(part.movements[1] == file.movements[1]);
    CHECK(new_in(file, appended(ledger, part), "f") == Book{});

    file.movements.pop_back();
    CHECK(refusal(file, ledger) == "f: movement m7 of 2026-03-01: taken back in the file, but it stands in the ledger");
}

TEST_CASE("what went into a brew that was taken back needs no brew") {
    Book file = book_of_two_lots();
    Movement used = counted("m1");
    used.kind = MovementKind::brew;
    used.stage = Stage::mash;
    used.brew = "B1";
    Movement back = taken_back("m2", used);
    back.stage.reset();
    back.brew.reset();
    file.movements = {used, back};
    CHECK(new_in(file, Book{}, "f").movements == file.movements);
    file.movements.pop_back();
    CHECK(refusal(file, Book{}) ==
          "f: movement m1 of 2026-03-01: no brew is called `B1`, neither in the file nor in the ledger");
}

TEST_CASE("a reversal must be the opposite of what it names") {
    Book file = book_of_two_lots();
    const Movement count = counted("m1");
    const Movement back = taken_back("m2", count);
    file.movements = {count, back};
    CHECK(new_in(file, Book{}, "f").movements == file.movements);

    file.movements[1].lot = "L2";
    CHECK(refusal(file, Book{}) ==
          "f: movement m2 of 2026-03-01: not the opposite of `m1`: the same lot and day, and 200 g");
    file.movements = {count, back, taken_back("m3", count)};
    CHECK(refusal(file, Book{}) == "f: movement m3 of 2026-03-01: `m1` is reversed twice");
    file.movements[2].reverses = "m2";
    CHECK(refusal(file, Book{}) == "f: movement m3 of 2026-03-01: `m2` is a reversal itself and cannot be reversed");
    file.movements[2].reverses = "m9";
    CHECK(refusal(file, Book{}) == "f: movement m3 of 2026-03-01: the file has no movement `m9` to take back");
}
