// What an item is on a day: the user's word, the lots on hand, the last lots, and only then what is typical.
#include "near.hpp"
#include <doctest/doctest.h>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/stock/item_figures.hpp>
#include <lotwort/stock/malt.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Date day(const char* iso) {
    return *parse_iso_date(iso);
}

LotState sack(const char* code, const char* received, double there_kg, std::optional<double> extract,
              std::optional<double> ebc) {
    LotState state;
    state.lot.code = code;
    state.lot.item = "pale malt";
    state.lot.received = day(received);
    state.lot.received_amount = Amount::of(Kilograms(25.0));
    state.on_hand = Amount::of(Kilograms(there_kg));
    Certificate paper;
    if (extract) paper.extract = Percent(*extract);
    if (extract) paper.extract_basis = ExtractBasis::fine_dry;
    if (ebc) paper.colour = Ebc(*ebc);
    state.lot.certificate = paper;
    return state;
}

Item pale_malt() {
    Item item;
    item.name = "pale malt";
    item.malt_class = "base";
    return item;
}

} // namespace

TEST_CASE("an item without a card is what its sacks are, by mass, field by field") {
    const std::vector<LotState> lots{sack("A", "2026-01-02", 10.0, 80.0, 5.0), sack("B", "2026-01-03", 30.0, 82.0, {}),
                                     sack("C", "2026-01-04", 40.0, {}, {})};
    const Item known = item_as_known(pale_malt(), lots, day("2026-02-01"));
    CHECK(known.extract->value() == near((10.0 * 80.0 + 30.0 * 82.0) / 40.0));
    CHECK(known.extract_basis == ExtractBasis::fine_dry);
    CHECK(known.colour->value() == near(5.0)); // the one that states it
    CHECK_FALSE(known.diastatic_power.has_value());
    CHECK(malt_figures(known).diastatic_power_wk.origin == Origin::typical);
}

TEST_CASE("what the user stated on the item comes first") {
    Item item = pale_malt();
    item.colour = Ebc(7.0);
    CHECK(item_as_known(item, {sack("A", "2026-01-02", 10.0, 80.0, 5.0)}, day("2026-02-01")).colour == Ebc(7.0));
}

TEST_CASE("of used-up lots the last three count, and lots that come later do not") {
    const std::vector<LotState> lots{sack("A", "2026-01-01", 0.0, 70.0, {}), sack("B", "2026-01-02", 0.0, 80.0, {}),
                                     sack("C", "2026-01-03", 0.0, 81.0, {}), sack("D", "2026-01-04", 0.0, 82.0, {}),
                                     sack("E", "2026-03-01", 0.0, 60.0, {})};
    CHECK(item_as_known(pale_malt(), lots, day("2026-02-01")).extract->value() == near(81.0));
}

TEST_CASE("a hop is aged to the day") {
    Item item;
    item.name = "pale malt"; // as the sacks are called
    item.kind = ItemKind::hop;
    LotState lot = sack("H", "2026-01-02", 1.0, {}, {});
    lot.lot.certificate->alpha = Percent(10.0);
    lot.lot.certificate->analysed = day("2025-10-01");
    lot.lot.storage = Celsius(20.0);
    const Item known = item_as_known(item, {lot}, day("2026-09-01"));
    CHECK(known.alpha->value() < 10.0);
    CHECK(known.alpha->value() == near(hop_age(item, lot.lot, day("2026-09-01")).alpha_pct.value));
}
