// A weight of a brew that one side has corrected and the other has not: what import adds.
#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/exchange/exchange_file.hpp>

using namespace lotwort;

namespace {

const Date day = *parse_iso_date("2026-03-10");

Addition mash(double kg) {
    Addition addition;
    addition.lot = "L1";
    addition.stage = Stage::mash;
    addition.amount = Amount::of(Kilograms(kg));
    return addition;
}

// B1 with these weights of L1.
Book brewed(std::vector<Addition> additions) {
    Book book;
    book.items.emplace_back().name = "malt";
    book.brewhouses.emplace_back().name = "main";
    Lot& lot = book.lots.emplace_back();
    lot.code = "L1";
    lot.item = "malt";
    lot.received = day;
    lot.received_amount = Amount::of(Kilograms(25.0));
    Brew& brew = book.brews.emplace_back();
    brew.code = "B1";
    brew.date = day;
    brew.brewhouse = "main";
    brew.additions = std::move(additions);
    return book;
}

// The same, with what went in wrong and was taken back.
Book corrected(std::vector<Addition> additions, double wrong_kg) {
    Book book = brewed(std::move(additions));
    Movement& use = book.movements.emplace_back();
    use.id = "m1";
    use.on = day;
    use.lot = "L1";
    use.kind = MovementKind::brew;
    use.brew = "B1";
    use.stage = Stage::mash;
    use.change = -Amount::of(Kilograms(wrong_kg));
    Movement back;
    back.id = "m2";
    back.on = day;
    back.lot = "L1";
    back.kind = MovementKind::reversal;
    back.change = Amount::of(Kilograms(wrong_kg));
    back.reverses = "m1";
    book.movements.push_back(back);
    return book;
}

// The ledger calls its movements m1, m2, ... as the file does: another thing by the same word.
std::vector<std::string> ids(const Brew& brew) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < brew.additions.size(); ++i) names.push_back("m" + std::to_string(i + 1));
    return names;
}

Book import(const Book& file, const Book& ledger) {
    return new_in(file, ledger, "f", {}, {}, ids);
}

} // namespace

TEST_CASE("a weight that the file corrected is taken back in the ledger by its id there, under its brew") {
    const Book part = import(corrected({mash(1.0), mash(4.5)}, 4.25), brewed({mash(1.0), mash(4.25)}));
    REQUIRE(part.movements.size() == 1);
    CHECK(part.movements[0].kind == MovementKind::reversal);
    CHECK(part.movements[0].reverses == "m2"); // the ledger's second; not the file's, which is a reversal
    CHECK(part.movements[0].id != "m2");
    REQUIRE(part.brews.size() == 1);
    CHECK(part.brews[0].additions == std::vector{mash(4.5)});
}

TEST_CASE("corrected to nothing, the brew is named all the same") {
    const Book part = import(corrected({}, 4.25), brewed({mash(4.25)}));
    CHECK(part.movements.size() == 1);
    REQUIRE(part.brews.size() == 1);
    CHECK(part.brews[0].code == "B1");
    CHECK(part.brews[0].additions.empty());
}

TEST_CASE("corrected away and back again, the file's weight is another than the ledger's") {
    const Book part = import(corrected({mash(4.25)}, 4.25), brewed({mash(4.25)}));
    REQUIRE(part.movements.size() == 1);
    CHECK(part.movements[0].reverses == "m1");
    REQUIRE(part.brews.size() == 1);
    CHECK(part.brews[0].additions == std::vector{mash(4.25)});
}

TEST_CASE("what the ledger corrected since is known, and what both corrected is nothing new") {
    const Book ledger = corrected({mash(4.5)}, 4.25);
    CHECK(import(brewed({mash(4.25)}), ledger) == Book{});
    CHECK(import(ledger, ledger) == Book{});
    // another of the same weight is new
    const Book part = import(brewed({mash(4.25), mash(4.25)}), ledger);
    REQUIRE(part.brews.size() == 1);
    CHECK(part.brews[0].additions == std::vector{mash(4.25)});
}

TEST_CASE("a correction that cannot be booked is refused, and says where") {
    Book ledger = brewed({mash(4.25)});
    const Book file = corrected({mash(4.5)}, 4.25);
    CHECK_THROWS_WITH((void)new_in(file, ledger, "f"),
                      "f: movement m1 of 2026-03-10: taken back in the file, but it stands in the ledger");
    ledger.brews[0].abandoned = "stuck";
    CHECK_THROWS_WITH(
        (void)import(file, ledger),
        "f: movement m1 of 2026-03-10: taken back in the file, but B1 was given up in the ledger with it");
}
