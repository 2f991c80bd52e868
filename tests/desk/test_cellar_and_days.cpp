// Which brews share a fermenter, what the period's beer comes to, and the days of plans and months.
#include "near.hpp"
#include "store/ledger_support.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/desk/brew_cost.hpp>
#include <lotwort/desk/brew_day.hpp>
#include <lotwort/desk/calendar.hpp>
#include <lotwort/desk/later_use.hpp>
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/packages.hpp>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/desk/statement.hpp>
#include <tuple>

using namespace lotwort;
using namespace lotwort::test;

namespace {

using Codes = std::vector<std::string>;

Brew into(const char* code, const char* date, const char* with = nullptr) {
    Brew brew = brew_of(code, date, {});
    if (with != nullptr) brew.fermented_with = with;
    return brew;
}

Codes codes(const std::vector<const Brew*>& brews) {
    Codes codes;
    for (const Brew* brew : brews) codes.push_back(brew->code);
    return codes;
}
Codes codes(const std::vector<ReconcileInput>& inputs) {
    Codes codes;
    for (const ReconcileInput& input : inputs) codes.push_back(input.brew.code);
    return codes;
}

// So many litres in the fermenter, of 1.048.
Brew filled(const char* code, const char* date, double litres, double sg = 1.048) {
    Brew brew = brew_of(code, date, {mash("P-1", 4.0)});
    Reading& reading = brew.readings.emplace_back();
    reading.point = ReadingPoint::fermenter;
    reading.volume = Litres(litres);
    reading.gravity_sg = SpecificGravity(sg);
    return brew;
}

void brewed(Ledger& ledger, const Brew& brew) {
    (void)ledger.append(with(brew), head(EntryKind::brew, to_iso(brew.date).c_str()));
}
void packaged(Ledger& ledger, const char* code, const char* brew, const char* on, int halves, double lost_l) {
    Package run = run_of(code, brew, on, halves);
    if (lost_l > 0.0) run.lost = Litres(lost_l);
    (void)ledger.append(with(run), head(EntryKind::package, on));
}

Amount litres(double l) {
    return Amount::of(Litres(l));
}

} // namespace

TEST_CASE("brews of one fermenter: the first, then by day; of a ring, each by itself") {
    const std::vector<Brew> brews{into("C", "2026-03-03", "B"), into("A", "2026-03-01"), into("B", "2026-03-02", "A"),
                                  into("X", "2026-03-01", "Y"), into("Y", "2026-03-02", "X")};
    const Fermenters fermenters(brews);
    CHECK(codes(fermenters.of(brews[0])) == Codes{"A", "B", "C"});
    CHECK(codes(fermenters.of(brews[1])) == Codes{"A", "B", "C"});
    CHECK(codes(fermenters.of(brews[3])) == Codes{"X"});
    CHECK(codes(fermenters.of(brews[4])) == Codes{"Y"});
    const ReconcileInput middle = tied_input(brews[2], fermenters, brewery(), {});
    CHECK(codes(middle.earlier_in_fermenter) == Codes{"A"});
    CHECK(codes(middle.later_in_fermenter) == Codes{"C"});
}

TEST_CASE("six brews in a fermenter are balanced together; of seven, each is told how many lie before and behind it") {
    std::vector<Brew> brews{into("A", "2026-03-01")};
    for (const char* code : {"B", "C", "D", "E", "F"}) brews.push_back(into(code, "2026-03-02", "A"));
    const auto last_of = [](const std::vector<Brew>& of) {
        return tied_input(of.back(), Fermenters(of), brewery(), {});
    };
    CHECK(last_of(brews).earlier_in_fermenter.size() == 5);
    brews.push_back(into("G", "2026-03-03", "A"));
    CHECK(last_of(brews).earlier_in_fermenter.empty());
    CHECK(last_of(brews).untied_before == 6);
    CHECK(last_of(brews).untied_after == 0);
}

TEST_CASE("a period's beer by month: what was brewed, packaged and lost, and what is in tanks") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    brewed(ledger, filled("B0", "2026-01-20", 10.0));
    packaged(ledger, "B0-1", "B0", "2026-02-01", 8, 0.0); // 4 of 10 L: 6 L stay in the tank
    brewed(ledger, filled("B1", "2026-02-15", 20.0, 1.040));
    brewed(ledger, filled("B2", "2026-02-28", 10.005, 1.060));
    packaged(ledger, "B1-1", "B1", "2026-03-31", 36, 0.0); // 18 of 20 L: a tenth is left, and is trub
    const Desk desk{ledger, day("2026-04-10")};
    const auto statement = statement_of(desk, day("2026-02-10"), day("2026-04-05"));
    REQUIRE(statement.beer.size() == 3);
    const auto& [february, march, april] = std::tie(statement.beer[0], statement.beer[1], statement.beer[2]);
    CHECK(february.to == day("2026-02-28"));
    CHECK(march.from == day("2026-03-01"));
    CHECK(february.opening == litres(6.0));
    CHECK(february.brews == 2);
    CHECK(february.brewed == litres(30.01)); // 10.005 L are 10.01 L to the hundredth
    CHECK(february.in_tanks == litres(36.01));
    // 1.040 and 1.060 are 9.99 and 14.74 degrees plato by the usual table: 20 parts of one, 10 of the other
    REQUIRE(february.original_plato);
    CHECK(*february.original_plato == test::near((20.0 * 9.99 + 10.01 * 14.74) / 30.01, 0.002));
    CHECK(march.packaged == litres(18.0));
    CHECK(march.lost == litres(2.0));
    CHECK(march.in_tanks == litres(16.01));
    CHECK(april.opening == litres(16.01));
}

TEST_CASE("a beer is asked after once it has been sixty days in its tank") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    brewed(ledger, filled("B1", "2026-02-04", 20.0));
    const Desk desk{ledger, day("2026-04-10")};
    const auto says = [&](const char* to) { return statement_of(desk, day("2026-02-01"), day(to)).says; };
    CHECK(says("2026-04-05").empty()); // 24 days of February, 31 of March and 5
    CHECK(says("2026-04-06") == Codes{"not packaged after 60 days, and counted in tanks: B1"});
}

TEST_CASE("a month is over on its last day; on its first its own books are open") {
    const auto period = [](const char* month, const char* today) {
        const Period of = month_of(month, day(today));
        return to_iso(of.from) + " " + to_iso(of.to);
    };
    CHECK(period("2026-02", "2026-03-14") == "2026-02-01 2026-02-28");
    CHECK(period("2026-03", "2026-03-14") == "2026-03-01 2026-03-14");
    CHECK(period("2026-03", "2026-03-01") == "2026-03-01 2026-03-01");
    CHECK_THROWS_AS(period("2026-04", "2026-03-31"), const Error&);
    CHECK(to_iso(last_month(day("2026-03-01")).from) == "2026-02-01");
    CHECK(to_iso(last_month(day("2026-01-31")).to) == "2025-12-31");
    std::vector<report::CalendarEvent> events(4);
    const char* const on[] = {"2026-02-28", "2026-03-01", "2026-03-31", "2026-04-01"};
    for (std::size_t i = 0; i < events.size(); ++i) events[i].on = day(on[i]);
    CHECK(in_month(events, day("2026-03-01")).size() == 2);
}

TEST_CASE("a plan of today is planned again for today, one gone by for another day") {
    Plan plan;
    plan.code = "P1";
    plan.date = day("2026-03-14");
    CHECK(planned_again(plan, day("2026-03-14")) == "lotwort plan P1 --move 2026-03-14");
    CHECK(planned_again(plan, day("2026-03-15")) == "lotwort plan P1 --move DATE");
}

TEST_CASE("a brew day asks for the next point that was not read; first wort and fermentation are told unasked") {
    BrewDay brew_day;
    for (const ReadingPoint point : {ReadingPoint::mash, ReadingPoint::first_wort, ReadingPoint::kettle_full,
                                     ReadingPoint::fermenting, ReadingPoint::final_beer})
        brew_day.points.push_back({point, {}, {}, {}, {}});
    CHECK(brew_day.next() == ReadingPoint::mash);
    brew_day.points[0].read.emplace_back();
    CHECK(brew_day.next() == ReadingPoint::kettle_full);
    brew_day.points[2].read.emplace_back();
    CHECK(brew_day.next() == ReadingPoint::final_beer);
    brew_day.points[4].read.emplace_back();
    CHECK(!brew_day.next());
}

TEST_CASE("three brews in four weeks say what the days behind the plans will use") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    const Desk desk{ledger, day("2026-03-01")};
    plan::PurchaseWish wish;
    wish.horizon_days = 10; // the second to the eleventh of March
    brewed(ledger, brew_of("B1", "2026-02-01", {mash("P-1", 4.0)}));
    brewed(ledger, brew_of("B2", "2026-02-10", {mash("P-1", 3.0)}));
    foresee_use(desk, wish);
    CHECK(!wish.later);
    brewed(ledger, brew_of("B3", "2026-03-01", {mash("P-1", 5.0)}));
    foresee_use(desk, wish);
    REQUIRE(wish.later);
    // 12 kg in the 29 days from the first of February to the first of March
    CHECK(wish.later->used.at("pale malt") == test::near(12.0 * 10.0 / 29.0));
    CHECK(wish.later->how == "as the mean of the last 29 days");
}

TEST_CASE("of two brews of one day the one booked first teaches the other; empty lots are not asked about") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    brewed(ledger, brew_of("B1", "2026-02-01", {mash("W-1", 25.0)}));
    brewed(ledger, brew_of("B2", "2026-02-02", {mash("P-1", 4.0)}));
    brewed(ledger, brew_of("B3", "2026-02-02", {mash("P-1", 4.0)}));
    brewed(ledger, brew_of("B4", "2026-02-02", {mash("P-1", 4.0)}));
    LearnScope scope;
    scope.until = day("2026-02-02");
    scope.without_brew = "B3";
    const LearnRequest request = learn_request({ledger, day("2026-03-01")}, ledger.definitions(), scope);
    CHECK(codes(request.brews) == Codes{"B1", "B2"});
    REQUIRE(request.lots_on_hand.size() == 1);
    CHECK(request.lots_on_hand[0].lot.code == "P-1");
}

TEST_CASE("of a fermenter that is four fifths out it is known what share went into packages") {
    Folder folder;
    auto ledger = stocked_ledger(folder.file("l"));
    brewed(ledger, filled("B1", "2026-02-01", 20.0));
    brewed(ledger, filled("B2", "2026-02-02", 20.0));
    packaged(ledger, "B1-1", "B1", "2026-02-20", 28, 2.0); // 14 L and 2 L of 20 L
    packaged(ledger, "B2-1", "B2", "2026-02-20", 28, 1.0);
    const Book book = ledger.definitions();
    const LearnRequest request = learn_request({ledger, day("2026-03-01")}, book, {});
    REQUIRE(request.packaged.size() == 1);
    CHECK(request.packaged.at("B1") == test::near(0.7));
    const report::BeerLeft tank = beer_left(ledger, book, "B1");
    CHECK(tank.lost == Litres(2.0));
}

TEST_CASE("a brew costs its share of what its malt cost, and of the freight of the order it came of") {
    const auto cost = [](auto&& change) {
        Folder folder;
        auto ledger = new_ledger(folder.file("l"));
        Book book = brewery(); // 25 kg of P-1 for 32.50, all of order O-1; delivery 12, free from 500 on
        change(book);
        (void)ledger.append(book, head(EntryKind::import_file, "2026-01-05"));
        brewed(ledger, brew_of("B1", "2026-02-01", {mash("P-1", 5.0)}));
        return brew_cost(*ledger.brew("B1"), ledger);
    };
    const auto plain = cost([](Book&) {});
    CHECK(plain.sum == Money{650}); // a fifth
    CHECK(plain.freight == Money{240});
    CHECK(cost([](Book& book) { book.suppliers[0].free_delivery_from = Money{3250}; }).freight == Money{0});
    CHECK(cost([](Book& book) { book.suppliers[0].free_delivery_from = Money{3251}; }).freight == Money{240});
    CHECK(cost([](Book& book) { book.orders[0].freight = Money{1200}; }).freight == Money{0});
    // as much again is still to come, and bears half of the freight
    CHECK(cost([](Book& book) { book.orders[0].lines[0].cost = Money{6500}; }).freight == Money{120});
}
