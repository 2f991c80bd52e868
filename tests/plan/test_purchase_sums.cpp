// The sums that a purchase rests on, each small enough for paper.
#include "brewery.hpp"
#include "near.hpp"
#include "purchase/days.hpp"
#include "purchase/safety.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/plan/purchase_cost.hpp>
#include <lotwort/plan/purchase_demand.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

const Date monday = day("2026-03-02");

Date in(int days) {
    return monday + std::chrono::days(days);
}

// Malt in sacks of 25 kg at 30, from a supplier who is always open and two days away.
PurchaseCase malt_case() {
    PurchaseCase wanted;
    wanted.today = wanted.until = monday;
    wanted.offers.push_back({"hill", "malt", 25.0, {{1, 30.0}}, 2});
    wanted.suppliers.push_back({"hill"});
    return wanted;
}

void need(PurchaseCase& wanted, int days, double amount, const char* brew) {
    wanted.needs.push_back({"malt", in(days), amount, 0.0, brew});
    wanted.until = std::max(wanted.until, in(days));
}

// The safety stock after the last need, where each need scatters by a tenth.
double last_safety(PurchaseCase wanted, double service = 0.95) {
    add_safety(wanted, std::vector<double>(wanted.needs.size(), 0.1), service);
    return wanted.needs.back().safety;
}

constexpr double z_95 = 1.6448536;

// 20 kg of pale malt on the 20th, in sacks of one kilogram, three days away.
PurchaseWish wish() {
    PurchaseWish made;
    made.today = monday;
    made.items = cards();
    made.brews = {pale_ale("P1", "2026-03-20")};
    for (const char* item : {"pale", "crystal", "bitter", "floral"}) {
        Offer offer;
        offer.supplier = "hill";
        offer.item = item;
        offer.lead_days = 3;
        offer.pack = Kilograms(1.0);
        offer.price_steps = {{1, Money{200}}};
        made.offers.push_back(offer);
    }
    return made;
}

} // namespace

TEST_CASE("brews within the time that an order takes share a safety stock, half of their variance common to all") {
    PurchaseCase wanted = malt_case();
    need(wanted, 10, 10.0, "P1");
    CHECK(last_safety(wanted) == near(z_95)); // a kilogram's scatter, own and common alike
    need(wanted, 13, 10.0, "P2");             // three days on: two of lead and one of waiting are over
    CHECK(last_safety(wanted) == near(z_95));
    wanted.needs.back().day = in(12);
    CHECK(last_safety(wanted) == near(z_95 * std::sqrt(0.5 * 2.0 + 0.5 * 4.0)));
    wanted.suppliers[0].buffer_days = 1; // a day more is kept in hand
    wanted.needs.back().day = in(13);
    CHECK(last_safety(wanted) == near(z_95 * std::sqrt(3.0)));
}

TEST_CASE("a brew's two lines of one malt scatter together") {
    PurchaseCase wanted = malt_case();
    need(wanted, 10, 6.0, "P1");
    need(wanted, 10, 4.0, "P1");
    CHECK(last_safety(wanted) == near(z_95));
}

TEST_CASE("four brews of five ask for 0.84 standard deviations, nine of ten for 1.28") {
    CHECK(service_factor(0.8) == near(0.8416, 1e-4));
    CHECK(service_factor(0.9) == near(1.2816, 1e-4));
}

TEST_CASE("of what is left the rest of a sack counts, and of what is foreseen nothing where it is used but once") {
    PurchaseCase wanted = malt_case();
    need(wanted, 5, 60.0, "P1");
    add_most_left(wanted, std::nullopt);
    CHECK(wanted.most_left.at("malt") == near(15.0)); // of three sacks
}

TEST_CASE("the next delivery after a day comes after it; goods keep from the day they came, buffer or none") {
    PurchaseCase wanted = malt_case();
    PurchaseOffer& offer = wanted.offers[0];
    offer.lead_days = 0;
    CHECK(arrival_after(wanted, offer, monday) == in(1));
    CHECK(first_arrival(wanted, offer) == monday);
    offer.shelf_life_days = 10;
    wanted.suppliers[0].buffer_days = 2;
    CHECK(spoilt_from(wanted, offer, in(5)) == in(13)); // it came on the 3rd day
}

TEST_CASE("a lot serves on its last good day, and no day later") {
    PurchaseCase wanted = malt_case();
    need(wanted, 4, 50.0, "P1");
    wanted.most_left["malt"] = 0.0;
    wanted.supplies.push_back({"lot", "malt", 50.0, monday, in(4)});
    CHECK(plan_purchases(wanted).orders.empty());
    wanted.supplies[0].last = in(3);
    CHECK(plan_purchases(wanted).orders.size() == 1);
}

TEST_CASE("a budget of just what it costs is enough") {
    PurchaseCase wanted = malt_case();
    need(wanted, 4, 60.0, "P1");
    wanted.most_left["malt"] = 0.0;
    wanted.budget = 90.0;
    CHECK(plan_purchases(wanted).late.empty());
    wanted.budget = 89.99;
    CHECK(plan_purchases(wanted).late.size() == 1);
}

TEST_CASE("brews that the money does not reach are told what each lacks beside one stock") {
    PurchaseCase wanted = malt_case();
    need(wanted, 4, 60.0, "P1");
    need(wanted, 5, 60.0, "P2");
    wanted.supplies.push_back({"lot", "malt", 40.0, monday});
    wanted.budget = 0.0;
    const PurchasePlan plan = plan_purchases(wanted);
    REQUIRE(plan.late.size() == 2);
    CHECK(plan.late[0].amount_short == near(20.0, 1e-6));
    CHECK(plan.late[1].amount_short == near(60.0, 1e-6));
}

TEST_CASE("a brew costs what it takes of a sack, its part of the delivery, and its stock by the kilogram") {
    PurchaseWish asked;
    asked.lots = {lot("L1", "malt", 25.0)};
    asked.lots[0].lot.price = Money{5000};
    DrawnPurchase drawn;
    drawn.wanted = malt_case();
    need(drawn.wanted, 4, 15.0, "P1");
    need(drawn.wanted, 6, 5.0, "P2");
    drawn.wanted.supplies.push_back({"L1", "malt", 25.0, monday});
    drawn.orders = {DrawnPurchase::no_order};
    PurchasePlan plan;
    PurchaseOrderPlan& order = plan.orders.emplace_back();
    order.lines = {{0, 1, 30.0, 30.0}};
    order.delivery = 6.0;
    plan.uses = {{0, 0, {}, {}, 5.0}, {0, {}, 0, 0, 10.0}, {1, {}, 0, 0, 5.0}};
    const auto costs = cost_by_brew(asked, drawn, plan);
    REQUIRE(costs.size() == 2);
    CHECK(costs[0].from_stock == near(10.0)); // 5 of 25 kg for 50.00
    CHECK(costs[0].bought == near(12.0));     // 10 of 25 kg for 30.00
    CHECK(costs[0].delivery == near(4.0));    // two thirds of what the order serves
    CHECK(costs[1].bought == near(6.0));
    CHECK(costs[1].delivery == near(2.0));
}

TEST_CASE("a brew on the last day that is looked at counts, and an offer on its last day") {
    PurchaseWish asked = wish();
    asked.horizon_days = 18; // to the 20th
    for (Offer& offer : asked.offers) offer.valid_until = monday;
    CHECK(draw_purchase(asked).wanted.needs.size() == 4);
    CHECK(draw_purchase(asked).wanted.offers.size() == 4);
    asked.horizon_days = 17;
    CHECK(draw_purchase(asked).beyond.size() == 1);
    asked.today = in(1);
    CHECK(draw_purchase(asked).wanted.offers.empty());
}

TEST_CASE("what is on order keeps its shelf life from the day it comes: its last day is one before it is over") {
    PurchaseWish asked = wish();
    asked.items[0].shelf_life_days = 30;
    Order& order = asked.orders.emplace_back();
    order.code = "O1";
    order.arrives = in(3);
    OrderLine& line = order.lines.emplace_back();
    line.item = "pale";
    line.pack = Kilograms(5.0);
    line.packs = 1;
    const auto drawn = draw_purchase(asked);
    REQUIRE(drawn.wanted.supplies.size() == 1);
    CHECK(drawn.wanted.supplies[0].last == in(3 + 29));
}

TEST_CASE("a year's keeping is so many per cent of the least price, a 365th a day") {
    PurchaseWish asked = wish();
    asked.holding_pct_per_year = 18.25;
    Offer dear = asked.offers[0];
    dear.supplier = "vale";
    dear.price_steps = {{1, Money{300}}};
    asked.offers.push_back(dear);
    CHECK(draw_purchase(asked).wanted.holding.at("pale").per_day == near(0.0005 * 2.0)); // of 2.00 a kilogram
}

TEST_CASE("a malt that may serve counts by what its kilogram gives of the other's") {
    PurchaseWish asked = wish();
    asked.allow_substitutes = true;
    const auto drawn = draw_purchase(asked);
    const auto& pale = *std::ranges::find(drawn.wanted.needs, "pale", &PurchaseNeed::item);
    const auto lager = std::ranges::find(pale.alternatives, "lager", &Alternative::item);
    REQUIRE(lager != pale.alternatives.end());
    CHECK(lager->factor == near(0.81 * 0.955 / (0.815 * 0.96))); // extract of the mass as it is
}
