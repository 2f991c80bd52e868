// What is in stock, what of it is free and worth what, and what spoils first.
#include "near.hpp"
#include <doctest/doctest.h>
#include <lotwort/desk/ageing_list.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/desk/packages.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/desk/stock_list.hpp>
#include <lotwort/stock/hop_age.hpp>

using namespace lotwort;
using std::chrono::days;

namespace {

const Date today = *parse_iso_date("2026-03-01");

Amount kg(double kilograms) {
    return Amount::of(Kilograms(kilograms));
}

StockRow row(const char* lot, double on_hand, double promised) {
    StockRow row;
    row.item = "pale malt";
    row.lot = lot;
    row.on_hand = kg(on_hand);
    row.promised = kg(promised);
    row.received_amount = kg(25.0);
    return row;
}

LotState state(const char* code, const char* item, double on_hand) {
    LotState state;
    state.lot.code = code;
    state.lot.item = item;
    state.lot.received = *parse_iso_date("2026-01-05");
    state.lot.received_amount = kg(25.0);
    state.on_hand = kg(on_hand);
    return state;
}

Item item(const char* name, ItemKind kind) {
    Item item;
    item.name = name;
    item.kind = kind;
    return item;
}

std::vector<std::string> codes(const report::AgeingList& list) {
    std::vector<std::string> codes;
    for (const report::AgeingLine& line : list.lines) codes.push_back(line.lot);
    return codes;
}

} // namespace

TEST_CASE("what is promised or held is not free; a half-used lot is worth its share; the earliest best before counts") {
    StockRow first = row("P-1", 10.0, 4.0), held = row("P-2", 5.0, 0.0), empty = row("P-3", 0.0, 0.0);
    first.price = Money{5000}; // 50 for 25 kg, of which 10 kg are left: 20
    first.best_before = today + days(100);
    held.held = "wet";
    held.best_before = today + days(40);
    empty.best_before = today + days(5);
    StockRow pieces = row("P-4", 0.0, 0.0);
    pieces.on_hand = pieces.received_amount = Amount::pieces(3);
    pieces.promised = Amount::pieces(0);

    const auto by_lot = stock_list({first, held, empty}, {true, false, {}}, today, "EUR");
    REQUIRE(by_lot.lines.size() == 2); // the empty lot was not asked for
    CHECK(by_lot.lines[0].lot == "P-2");
    CHECK(by_lot.lines[0].free == kg(0.0));
    CHECK(by_lot.lines[1].free == kg(6.0));
    CHECK(by_lot.lines[1].value == Money{2000});

    const auto by_item = stock_list({held, first, empty, pieces}, {false, true, {}}, today, "EUR");
    REQUIRE(by_item.lines.size() == 2); // kilograms and pieces are not added
    CHECK(by_item.lines[0].on_hand == kg(15.0));
    CHECK(by_item.lines[0].free == kg(6.0));
    CHECK(by_item.lines[0].best_before == today + days(40)); // an empty lot spoils no more
    CHECK(by_item.value == Money{2000});
    CHECK(by_item.lots_without_price == 3);
    CHECK(by_item.lines[1].on_hand == Amount::pieces(3));
}

TEST_CASE("at stake is what ends within ninety days, the ninetieth in it; what spoilt is so many days past") {
    LotState last = state("P-1", "malt", 25.0), later = state("P-2", "malt", 25.0), past = state("P-3", "malt", 5.0);
    last.lot.best_before = today + days(90);
    later.lot.best_before = today + days(91);
    past.lot.best_before = today - days(3);
    for (LotState* of : {&last, &later, &past}) of->lot.price = Money{5000};
    LotState opened = state("P-4", "malt", 1.0), plain = state("P-5", "malt", 1.0);
    opened.lot.opened = today;
    const auto list = ageing_list({item("malt", ItemKind::malt)}, {later, opened, plain, last, past}, {}, today, "EUR");
    CHECK(codes(list) == std::vector<std::string>{"P-3", "P-1", "P-2", "P-4"});
    CHECK(list.lots_without_date == 1);
    CHECK(list.lots_without_price == 1);
    CHECK(list.lines[0].days_left == -3);
    CHECK(list.lines[1].at_stake == Money{5000});
    CHECK(list.lines[2].at_stake == Money{0});
    CHECK(list.at_stake == Money{6000}); // and 5 of 25 kg at 50
}

TEST_CASE("a hop is weak from the first day without nine tenths of today's alpha; its loss is at stake") {
    const Item hop = item("hop", ItemKind::hop);
    LotState fresh = state("H-1", "hop", 25.0), malt = state("P-1", "malt", 25.0);
    fresh.lot.price = Money{100000};
    Certificate& paper = fresh.lot.certificate.emplace();
    paper.alpha = Percent(10.0);
    paper.analysed = *parse_iso_date("2026-01-05");
    fresh.lot.storage = Celsius(20.0);
    malt.lot.best_before = today + days(2000);
    const auto list = ageing_list({hop, item("malt", ItemKind::malt)}, {malt, fresh}, {}, today, "EUR");
    REQUIRE(codes(list) == std::vector<std::string>{"H-1", "P-1"});
    const report::AgeingLine& line = list.lines[0];
    REQUIRE(line.weak_from);
    const auto alpha = [&](Date on) { return hop_age(hop, fresh.lot, on).alpha_pct.value; };
    const double limit = 0.9 * alpha(today);
    CHECK(alpha(*line.weak_from) <= limit);
    CHECK(alpha(*line.weak_from - days(1)) > limit);
    const double lost = alpha(today) - alpha(today + days(90));
    REQUIRE(lost > 0.0);
    CHECK(lost < 0.5 * alpha(today)); // so that what is lost and what is kept are told apart
    CHECK(line.at_stake == Money{std::llround(100000.0 * lost / alpha(today))});
}

TEST_CASE("what was moved on a day is in its evening's stock") {
    std::vector<Movement> movements(2);
    movements[0].on = today;
    movements[0].change = kg(25.0);
    movements[1].on = today + days(1);
    movements[1].change = kg(-4.0);
    CHECK(on_hand_at(movements, Measure::mass, today - days(1)) == kg(0.0));
    CHECK(on_hand_at(movements, Measure::mass, today) == kg(25.0));
    CHECK(on_hand_at(movements, Measure::mass, today + days(1)) == kg(21.0));
}

TEST_CASE("capitals may be typed as they come where that leaves one name") {
    CHECK(find_name({"P1", "P2"}, "p2") == 1);
    CHECK(find_name({"Pa", "PA"}, "pa") == std::nullopt);
    CHECK(find_name({"Pa", "PA"}, "PA") == 1);
}

TEST_CASE("a lot is used on the day it came, and found by the item or the silo that holds it now") {
    LotState old = state("P-1", "malt", 0.0), now = state("P-2", "malt", 20.0);
    CHECK_NOTHROW(demand_arrived(old.lot, old.lot.received));
    CHECK_THROWS(demand_arrived(old.lot, old.lot.received - days(1)));
    old.lot.silo = now.lot.silo = "S1";
    const std::vector<LotState> lots{old, now};
    CHECK(lot_among(lots, "malt").lot.code == "P-2");
    CHECK(lot_among(lots, "s1").lot.code == "P-2");
}

TEST_CASE("yeast takes 95 of 100 parts of honey's extract, and of what is no sugar nothing") {
    Lot lot;
    lot.received = today;
    lot.certificate.emplace().extract = Percent(80.0);
    lot.certificate->extract_basis = ExtractBasis::fine_as_is;
    // 1 kg, of which 800 g are extract
    CHECK(fermentable_g(item("honey", ItemKind::sugar), lot, kg(1.0), today) == test::near(0.95 * 800.0));
    CHECK(fermentable_g(item("honey", ItemKind::malt), lot, kg(1.0), today) == 0.0);
    CHECK(fermentable_g(item("honey", ItemKind::sugar), lot, Amount::pieces(3), today) == 0.0);
}
