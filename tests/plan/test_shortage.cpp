// What planned brews lack: promises, orders and holds counted, in date order.
#include "plan/brewery.hpp"
#include <doctest/doctest.h>
#include <lotwort/plan/substitute.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

std::vector<LotState> plenty() {
    return {lot("P", "pale", 25.0), lot("C", "crystal", 5.0), lot("B", "bitter", 1.0), lot("F", "floral", 1.0)};
}

plan::Shortages shortages(const std::vector<plan::BrewToFill>& brews, const std::vector<Item>& items,
                          const std::vector<LotState>& lots, const std::vector<Order>& orders) {
    plan::SubstituteRequest request;
    request.brews = brews;
    request.items = items;
    request.lots = lots;
    request.orders = orders;
    request.today = day("2026-02-01");
    request.kinds = {plan::AnswerKind::buy};
    return substitute(request).shortages;
}

Order order(const char* item, double kg, const char* arrives) {
    Order made;
    made.code = "O1";
    made.arrives = day(arrives);
    OrderLine line;
    line.item = item;
    line.pack = Kilograms(kg);
    made.lines = {line};
    return made;
}

} // namespace

TEST_CASE("enough is enough, and a weigh step short is a weigh step") {
    auto lots = plenty();
    CHECK(shortages({pale_ale("P1", "2026-03-01")}, cards(), lots, {}).lines.empty());
    lots[0] = lot("P", "pale", 19.99);
    const auto found = shortages({pale_ale("P1", "2026-03-01")}, cards(), lots, {}).lines;
    REQUIRE(found.size() == 1);
    CHECK(found[0].item == "pale");
    CHECK(found[0].line == 0);
    CHECK(found[0].missing == Amount::of(Grams(10.0)));
}

TEST_CASE("the earlier brew is served first, whatever order they are given in") {
    const auto found =
        shortages({pale_ale("late", "2026-03-08"), pale_ale("early", "2026-03-01")}, cards(), plenty(), {}).lines;
    REQUIRE(found.size() == 1);
    CHECK(found[0].brew == "late");
    CHECK(found[0].missing == Amount::of(Kilograms(15.0)));
}

TEST_CASE("two brews on one day: the first given takes first") {
    const auto found =
        shortages({pale_ale("a", "2026-03-01"), pale_ale("b", "2026-03-01")}, cards(), plenty(), {}).lines;
    REQUIRE(found.size() == 1);
    CHECK(found[0].brew == "b");
}

TEST_CASE("promises to others and lots on hold do not count, and say why") {
    auto lots = plenty();
    lots[0].promised = Amount::of(Kilograms(10.0));
    lots[1].lot.held = "damp";
    const auto found = shortages({pale_ale("P1", "2026-03-01")}, cards(), lots, {}).lines;
    REQUIRE(found.size() == 2);
    CHECK(found[0].missing == Amount::of(Kilograms(5.0)));
    REQUIRE(found[1].passed_over.size() == 1);
    CHECK(found[1].passed_over[0].why == "held: damp");
    CHECK(found[1].missing == Amount::of(Kilograms(1.0)));
}

TEST_CASE("an order that comes in time fills the line, one that is late is named") {
    auto lots = plenty();
    lots[0] = lot("P", "pale", 12.0);
    const std::vector<plan::BrewToFill> brews{pale_ale("P1", "2026-03-01")};
    CHECK(shortages(brews, cards(), lots, {order("pale", 25.0, "2026-03-01")}).lines.empty());
    auto found = shortages(brews, cards(), lots, {order("pale", 25.0, "2026-03-02")}).lines;
    REQUIRE(found.size() == 1);
    CHECK(found[0].missing == Amount::of(Kilograms(8.0)));
    CHECK(found[0].more_due == day("2026-03-02"));
    found = shortages(brews, cards(), lots, {order("pale", 5.0, "2026-02-20")}).lines;
    REQUIRE(found.size() == 1);
    CHECK(found[0].from_orders == Amount::of(Kilograms(5.0)));
    CHECK(found[0].missing == Amount::of(Kilograms(3.0)));
    auto received = order("pale", 25.0, "2026-02-20");
    received.received = {"P"};
    found = shortages(brews, cards(), lots, {received}).lines; // 12 of 25 kg have come: the rest is still due
    CHECK(found.empty());
    received.closed = "sold out";
    found = shortages(brews, cards(), lots, {received}).lines;
    REQUIRE(found.size() == 1);
    CHECK(found[0].missing == Amount::of(Kilograms(8.0)));
    received.received.clear(); // sold out before anything came
    CHECK(shortages(brews, cards(), lots, {received}).lines.size() == 1);
}
