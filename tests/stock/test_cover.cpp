// How long the stock lasts. The days are worked out by hand beside each case.
#include "near.hpp"
#include <doctest/doctest.h>
#include <lotwort/stock/cover.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Date day(const char* text) {
    return *parse_iso_date(text);
}
Amount kg(double mass) {
    return Amount::of(Kilograms(mass));
}

CoverRequest request_of(double free_kg) {
    CoverRequest request;
    request.today = day("2026-03-10");
    request.window_days = 90;
    request.stock = {{"pale ale malt", ItemKind::malt, kg(free_kg), std::nullopt}};
    return request;
}

} // namespace

TEST_CASE("free stock over what was used a day") {
    CoverRequest request = request_of(20.0);
    request.used = {{"pale ale malt", day("2026-01-10"), kg(20.0)}, {"pale ale malt", day("2026-03-01"), kg(25.0)}};
    const auto covers = stock_cover(request); // 45 kg in 90 days are half a kilogram a day: 40 days
    REQUIRE(covers.size() == 1);
    CHECK(covers[0].used_a_day == near(500'000.0));
    CHECK(covers[0].lasts_until == day("2026-04-19"));
}

TEST_CASE("only what was used within the window counts, and of this item and measure") {
    CoverRequest request = request_of(20.0);
    request.used = {{"pale ale malt", day("2025-12-10"), kg(99.0)}, // 90 days ago to the day: out
                    {"pale ale malt", day("2025-12-11"), kg(9.0)},  // the window's first day
                    {"pale ale malt", day("2026-03-11"), kg(99.0)}, // not yet
                    {"Munich malt", day("2026-03-01"), kg(99.0)},
                    {"pale ale malt", day("2026-03-01"), Amount::pieces(99)}};
    CHECK(stock_cover(request)[0].used_a_day == near(100'000.0)); // 9 kg in 90 days
    request.used.clear();
    CHECK_FALSE(stock_cover(request)[0].lasts_until);
}

TEST_CASE("a delivery counts where it comes by the day that the stock would be out, and then the next one may") {
    CoverRequest request = request_of(10.0);
    request.used = {{"pale ale malt", day("2026-03-10"), kg(90.0)}};     // a kilogram a day: until the 20th
    request.arriving = {{"pale ale malt", day("2026-04-14"), kg(5.0)},   // after 10 + 25 days: on the very day
                        {"pale ale malt", day("2026-03-20"), kg(25.0)}}; // on the very day
    CHECK(stock_cover(request)[0].lasts_until == day("2026-04-19"));     // 40 days
    request.arriving[1].on = day("2026-03-21");                          // a day late: it ran out before
    CHECK(stock_cover(request)[0].lasts_until == day("2026-03-20"));
    request.arriving[1].on = day("2026-03-09"); // overdue
    CHECK(stock_cover(request)[0].lasts_until == day("2026-03-20"));
}

TEST_CASE("what is free is what brews after the last plan live on: until then they take what was promised to them") {
    CoverRequest request = request_of(20.0);
    request.used = {{"pale ale malt", day("2026-03-01"), kg(45.0)}}; // half a kilogram a day: 40 days
    request.planned_until = day("2026-03-30");
    CHECK(stock_cover(request)[0].lasts_until == day("2026-05-10")); // 31 March and 40 days
    request.planned_until = day("2026-03-01");                       // overdue: to be brewed today
    CHECK(stock_cover(request)[0].lasts_until == day("2026-04-19"));
}

TEST_CASE("nothing free lasts until today, and a stock for centuries ends after ten years") {
    CoverRequest request = request_of(0.0);
    request.used = {{"pale ale malt", day("2026-03-10"), kg(90.0)}};
    CHECK(stock_cover(request)[0].lasts_until == request.today);
    request.stock[0].free = kg(-3.0); // promised more than there is
    CHECK(stock_cover(request)[0].lasts_until == request.today);
    request.stock[0].free = kg(900'000.0);
    CHECK(stock_cover(request)[0].lasts_until == request.today + std::chrono::days(3653));
}

TEST_CASE("half a day's malt does not last the day") {
    CoverRequest request = request_of(25.0);
    request.used = {{"pale ale malt", day("2026-03-01"), kg(180.0)}}; // 2 kg a day: twelve days and a half
    CHECK(stock_cover(request)[0].lasts_until == day("2026-03-22"));
}
