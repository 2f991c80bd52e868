// What is there before anything is bought, and what is left after: nobody buys malt that he has.
#include "brewery.hpp"
#include "near.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/plan/purchase_demand.hpp>
#include <lotwort/plan/verify_purchase.hpp>
#include <random>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

Offer offer(const char* item, double kg, std::int64_t minor) {
    Offer made;
    made.supplier = "hill";
    made.item = item;
    made.pack = Kilograms(kg);
    made.price_steps = {{1, Money{minor}}};
    return made;
}

// A brew a week, each of 20 kg of pale and 1 kg of crystal, of which nothing is reserved; hill sells both.
PurchaseWish weeks(int brews) {
    PurchaseWish made;
    made.today = day("2026-03-02");
    made.items = cards();
    for (int week = 1; week <= brews; ++week)
        made.brews.push_back(
            pale_ale(("P" + std::to_string(week)).c_str(), to_iso(made.today + std::chrono::days(7 * week)).c_str()));
    for (const BrewToFill& brew : made.brews) {
        made.kept[brew.code].lacking.push_back({0, "pale", Amount::of(Kilograms(20.0))});
        made.kept[brew.code].lacking.push_back({1, "crystal", Amount::of(Kilograms(1.0))});
    }
    Supplier hill;
    hill.name = "hill";
    hill.lead_days = 3;
    made.suppliers = {hill};
    made.offers = {offer("pale", 25.0, 3000), offer("crystal", 5.0, 900)};
    return made;
}

double bought(const DrawnPurchase& drawn, const PurchasePlan& plan, const std::string& item) {
    double sum = 0.0;
    for (const PurchaseOrderPlan& order : plan.orders)
        for (const PurchaseLine& line : order.lines) {
            const PurchaseOffer& sold = drawn.wanted.offers[line.offer];
            if (sold.item == item) sum += line.packs * sold.pack;
        }
    return sum;
}

} // namespace

TEST_CASE("of what is free above the safety stock nothing is bought, whatever an order must come to") {
    std::mt19937 chance(7);
    const auto between = [&](int low, int high) { return low + int(chance() % unsigned(high - low + 1)); };
    int with_orders = 0, without_one = 0;
    for (int trial = 0; trial < 60; ++trial) {
        CAPTURE(trial);
        PurchaseWish wish = weeks(between(1, 4));
        const double pale = between(0, 120), crystal = 0.5 * between(0, 12);
        if (pale > 0.0) wish.lots.push_back(lot("L1", "pale", pale));
        if (crystal > 0.0) wish.lots.push_back(lot("L2", "crystal", crystal));
        wish.suppliers[0].delivery = Money{between(0, 3000)};
        if (between(0, 1) == 1) wish.suppliers[0].minimum_order = Money{between(2000, 20000)};
        if (between(0, 1) == 1) wish.suppliers[0].free_delivery_from = Money{between(5000, 30000)};
        wish.service = between(0, 1) == 1 ? 0.95 : 0.5;
        const DrawnPurchase drawn = draw_purchase(wish);
        const PurchasePlan plan = plan_purchases(drawn.wanted);
        CHECK(purchase_breaches(drawn.wanted, plan) == std::vector<std::string>{});
        with_orders += plan.orders.empty() ? 0 : 1;
        for (const auto& [item, there] : {std::pair("pale", pale), {"crystal", crystal}}) {
            double used = 0.0, asked = 0.0; // the lots keep: what is there less what is used is what is left
            for (const PurchaseNeed& need : drawn.wanted.needs) {
                if (need.item != item) continue;
                used += need.amount;
                asked = std::max(asked, used + need.safety);
            }
            if (there < asked) continue;
            ++without_one;
            CHECK(bought(drawn, plan, item) == 0.0);
        }
    }
    CHECK(with_orders >= 20);
    CHECK(without_one >= 20);
}

TEST_CASE("a sack at 1.60 a kilogram is bought instead of two bags at 2.30 where brews will use it up in the quarter") {
    PurchaseWish wish = weeks(1);
    wish.service = 0.5;
    wish.buffer_days = 1;
    wish.kept["P1"].lacking = {{0, "pale", Amount::of(Kilograms(8.0))}};
    wish.offers = {offer("pale", 25.0, 4000), offer("pale", 5.0, 1150)};
    const auto packs_of = [](const PurchaseWish& asked, double kg) {
        const DrawnPurchase drawn = draw_purchase(asked);
        int packs = 0;
        for (const PurchaseOrderPlan& order : plan_purchases(drawn.wanted).orders)
            for (const PurchaseLine& line : order.lines)
                if (drawn.wanted.offers[line.offer].pack == kg) packs += line.packs;
        return packs;
    };
    CHECK(packs_of(wish, 5.0) == 2);
    CHECK(packs_of(wish, 25.0) == 0);
    wish.later = LaterUse{day("2026-03-10"), day("2026-05-31"), {{"pale", 30.0}}, "as it was"};
    CHECK(packs_of(wish, 5.0) == 0);
    CHECK(packs_of(wish, 25.0) == 1);
    wish.later->used["pale"] = 3.0; // it would lie there for two years
    CHECK(packs_of(wish, 25.0) == 0);
}

TEST_CASE("what is bought comes a day before its use, or as long as is asked") {
    PurchaseWish wish = weeks(1); // on Monday the 9th
    wish.suppliers[0].closed_weekdays = {"saturday", "sunday"};
    const auto arrives = [&](int buffer) {
        wish.buffer_days = buffer;
        const DrawnPurchase drawn = draw_purchase(wish);
        const PurchasePlan plan = plan_purchases(drawn.wanted);
        CHECK(purchase_breaches(drawn.wanted, plan) == std::vector<std::string>{});
        REQUIRE(plan.orders.size() == 1);
        return to_iso(plan.orders[0].arrives);
    };
    CHECK(arrives(0) == "2026-03-09");
    CHECK(arrives(1) == "2026-03-06"); // Friday, for the eighth is a Sunday
    CHECK(arrives(4) == "2026-03-05");
}

TEST_CASE(
    "hops that a recipe states by mass are weighed by mass, fresh or old; those stated by alpha need more when old") {
    PurchaseWish wish = weeks(4);
    wish.service = 0.5;
    wish.offers = {offer("floral", 5.0, 9000)};
    for (BrewToFill& brew : wish.brews) wish.kept[brew.code].lacking = {{3, "floral", Amount::of(Kilograms(2.5))}};
    const auto bought_kg = [&] {
        const DrawnPurchase drawn = draw_purchase(wish);
        const PurchasePlan plan = plan_purchases(drawn.wanted);
        CHECK(purchase_breaches(drawn.wanted, plan) == std::vector<std::string>{});
        return bought(drawn, plan, "floral");
    };
    wish.suppliers[0].delivery = Money{100'000}; // all at once
    CHECK(bought_kg() == 10.0);
    for (BrewToFill& brew : wish.brews) brew.recipe.hops[1].alpha = Percent(5.0); // as much as 5 % would give
    CHECK(bought_kg() == 15.0);
    wish.lots = {lot("OLD", "floral", 2.0)}; // bought or there: 2 kg are 2 kg of what is weighed
    wish.lots[0].lot.received = day("2025-01-02");
    for (BrewToFill& brew : wish.brews) brew.recipe.hops[1].alpha.reset();
    wish.kept["P4"].lacking = {{3, "floral", Amount::of(Kilograms(4.5))}};
    CHECK(bought_kg() == 10.0);
}

TEST_CASE("two orders a day apart are one where nobody knows what a delivery costs, and the cents of it are told") {
    const Date today = day("2026-03-02");
    PurchaseCase wanted;
    wanted.today = today;
    wanted.until = today + std::chrono::days(21);
    wanted.needs = {{"malt", today + std::chrono::days(14), 5.0}, {"hop", today + std::chrono::days(16), 1.0}};
    wanted.suppliers = {SupplierTerms{"hill"}};
    wanted.offers = {{"hill", "malt", 25.0, {{1, 36.5}}, 0, {}, {}, 365}, {"hill", "hop", 1.0, {{1, 4.0}}, 3}};
    const PurchasePlan apart = plan_purchases(wanted); // for nothing, as they say: each on its last day
    REQUIRE(apart.orders.size() == 2);
    CHECK(apart.orders[0].order_by == today + std::chrono::days(13));
    CHECK(apart.orders[1].order_by == today + std::chrono::days(14));
    // 20 kg left, seven days old: 40.50 - 29.20 (1 - 7/365)
    CHECK(apart.total_cost == near(11.86));
    CHECK(apart.put_together == 0.0);
    wanted.suppliers[0].delivery_known = false;
    const PurchasePlan together = plan_purchases(wanted);
    REQUIRE(together.orders.size() == 2); // of one day: hops come three days later than malt
    CHECK(together.orders[0].order_by == today + std::chrono::days(13));
    CHECK(together.orders[1].order_by == today + std::chrono::days(13));
    CHECK(together.total_cost == near(11.94)); // a day older by then
    CHECK(together.put_together == near(0.08, 1e-6));
    CHECK(together.bound == near(11.86));
    CHECK(together.proven_optimal);
    CHECK(purchase_breaches(wanted, together).empty());
    wanted.needs[1].day = today + std::chrono::days(4); // ten days between the orders
    const PurchasePlan far = plan_purchases(wanted);
    CHECK(far.orders[0].order_by == today + std::chrono::days(1));
    CHECK(far.orders[1].order_by == today + std::chrono::days(14));
}
