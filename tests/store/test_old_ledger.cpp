// A ledger of schema 1 as it lay on a disk then: schema and rows from tests/golden, none of today's writing code.
#include "../../src/store/file/sha256.hpp"
#include "golden.hpp"
#include "ledger_support.hpp"
#include <doctest/doctest.h>
#include <sstream>

using namespace lotwort;
using namespace lotwort::test;

namespace {

void lay_down_schema_1(const std::string& file) {
    std::istringstream lines(project_file("tests/golden/schema_0001.sql"));
    std::string tables;
    std::string rest;
    for (std::string line; std::getline(lines, line);)
        (line.starts_with("CREATE TABLE") ? tables : rest) += line + ";\n";
    const auto checksum = store::sha256(project_file("migrations/0001_ledger.sql"));
    REQUIRE(sql(file, "PRAGMA application_id = 1282364500; PRAGMA user_version = 1; BEGIN;" + tables + rest +
                          "INSERT INTO migration VALUES (1, '0001_ledger', '" + checksum + "');" +
                          project_file("tests/golden/ledger_0001.sql") + "COMMIT")
                .empty());
}

Lot pale_lot() {
    Lot lot = lot_of("P-1", "pale malt", "2026-01-05", 25.0);
    lot.supplier = "hill maltings";
    lot.price = Money{3250};
    lot.best_before = day("2027-06-01");
    lot.certificate.emplace().extract = Percent(80.6);
    lot.certificate->extract_basis = ExtractBasis::fine_dry;
    lot.certificate->analysed = day("2025-12-20");
    lot.retests.emplace_back().on = day("2026-02-06");
    lot.retests[0].found.moisture = Percent(5.5);
    lot.held = "insects in the sack";
    return lot;
}

Brew brew() {
    Brew brew = brew_of("B1", "2026-02-01", {mash("P-1", 4.2)});
    brew.recipe = "ordinary pale";
    brew.boil = Minutes(60.0);
    brew.additions.push_back({"Y-1", Stage::fermenter, Amount::pieces(1), {}, day("2026-02-02"), {}, {}});
    auto& reading = brew.readings.emplace_back();
    reading.id = "r1";
    reading.at = "13:45";
    reading.point = ReadingPoint::kettle_full;
    reading.volume = Litres(28.5);
    reading.volume_at = Celsius(75.0);
    reading.volume_instrument = "kettle marks";
    reading.set_aside = "foam on the wort";
    return brew;
}

} // namespace

TEST_CASE("a ledger of schema 1 is read as it was written") {
    Folder folder;
    const auto file = folder.file("l");
    lay_down_schema_1(file);
    const Ledger ledger(file, Access::read);
    CHECK(ledger.verify().empty());
    const auto book = ledger.book();
    CHECK(book.currency == "EUR");
    REQUIRE(book.items.size() == 3);
    Item pale;
    pale.name = "pale malt";
    pale.malt_class = "base";
    pale.extract = Percent(81.0);
    pale.extract_basis = ExtractBasis::fine_dry;
    pale.moisture = Percent(4.25);
    pale.stands_for = {{"amber malt", 4.0}};
    CHECK(book.items[2] == pale);
    CHECK(book.items[0].kind == ItemKind::yeast);
    REQUIRE(book.brewhouses.size() == 1);
    REQUIRE(book.brewhouses[0].vessels.size() == 1);
    CHECK(book.brewhouses[0].sparge == Sparge::batch);
    CHECK(book.brewhouses[0].vessels[0].dip_table ==
          std::vector<DipMark>{{Centimetres(0.0), Litres(1.5)}, {Centimetres(10.0), Litres(12.25)}});
    REQUIRE(book.lots.size() == 2);
    CHECK(book.lots[0] == pale_lot());
    CHECK(book.lots[1].received_amount == Amount::pieces(10));
    CHECK(book.brews == std::vector<Brew>{brew()});
    CHECK(book.suppliers.empty()); // known by name alone
    REQUIRE(book.plans.size() == 1);
    CHECK(book.plans[0].reserved == std::vector<Reservation>{{0, "P-1", Amount::of(Kilograms(4.5))}});
    CHECK(book.movements.size() == 2); // the discard and its reversal
    CHECK(ledger.lot("P-1")->on_hand == Amount::of(Kilograms(20.8)));
    CHECK(ledger.lot("P-1")->promised == Amount::of(Kilograms(4.5)));
    CHECK(ledger.entry(4)->reversed_by == 5);
    CHECK(ledger.entry(5)->head.why == "it was swept up");
}

TEST_CASE("and is written to as any other") {
    Folder folder;
    const auto file = folder.file("l");
    lay_down_schema_1(file);
    Ledger ledger(file, Access::write);
    CHECK(ledger.append(with(lot_of("P-2", "pale malt", "2026-02-07", 25.0)), head(EntryKind::receive, "2026-02-07"))
              .number == 8);
    CHECK(ledger.verify().empty());
}
