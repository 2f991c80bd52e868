// A year of purchases: a plan that keeps every rule, how near to the least it is, and what an interrupt leaves.
#include "near.hpp"
#include "purchase_trials.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/plan/verify_purchase.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

MipOptions to_one_per_cent() {
    MipOptions limits;
    limits.relative_gap = 0.01;
    return limits;
}

} // namespace

TEST_CASE("a year of weekly brews, 30 items, 5 suppliers: within one per cent of what no plan can cost less than") {
    const auto wanted = weekly_purchase(1, 52);
    MipOptions limits = to_one_per_cent();
    double told_best = 0.0, told_bound = 0.0;
    limits.progress = [&](const MipProgress& now) {
        told_best = now.best;
        told_bound = now.bound;
    };
    const auto plan = plan_purchases(wanted, limits);
    REQUIRE(plan.found);
    CHECK(plan.late.empty());
    CHECK(purchase_breaches(wanted, plan) == std::vector<std::string>{});
    CHECK(plan.gap <= 0.01);
    CHECK(plan.bound > 0.0);
    CHECK(plan.gap == near((plan.total_cost - plan.bound) / plan.total_cost));
    // the last that was told is the plan that came
    CHECK(told_best == near(plan.total_cost, 1e-6));
    CHECK(told_bound == near(plan.bound, 1e-6));
}

TEST_CASE("an interrupt leaves a plan that keeps every rule, with its gap") {
    const auto wanted = weekly_purchase(1, 52);
    const std::atomic<bool> stop = true;
    MipOptions limits;
    limits.stop = &stop;
    const auto plan = plan_purchases(wanted, limits);
    REQUIRE(plan.found);
    CHECK(purchase_breaches(wanted, plan) == std::vector<std::string>{});
    CHECK(plan.total_cost < 1.1 * plan_purchases(wanted, to_one_per_cent()).total_cost);
    // and of a short one, which the solver would have had
    const auto small = weekly_purchase(2, 3);
    const auto first = plan_purchases(small, limits);
    REQUIRE(first.found);
    CHECK(purchase_breaches(small, first) == std::vector<std::string>{});
    CHECK(first.bound <= plan_purchases(small, to_one_per_cent()).total_cost);
}

TEST_CASE("goods that soon spoil, of offers that take one day or nine: there is a plan for all that can be had") {
    for (unsigned seed = 1; seed <= 3; ++seed) {
        CAPTURE(seed);
        auto wanted = weekly_purchase(seed, 26);
        for (std::size_t o = 0; o < wanted.offers.size(); ++o) {
            PurchaseOffer& offer = wanted.offers[o];
            offer.lead_days = static_cast<int>(o * 7 % 9) + 1;
            offer.shelf_life_days = *offer.shelf_life_days / static_cast<int>(3 + o % 3);
        }
        wanted.suppliers[0].closed[3] = true;
        const std::atomic<bool> stop = true; // the first plan will do
        MipOptions limits;
        limits.stop = &stop;
        const auto plan = plan_purchases(wanted, limits);
        REQUIRE(plan.found);
        CHECK(purchase_breaches(wanted, plan) == std::vector<std::string>{});
        for (const PurchaseLate& late : plan.late) CHECK(late.date <= wanted.today + std::chrono::days(17));
    }
}

TEST_CASE("a year's brews that begin too early: what is late is told, and the rest is planned") {
    auto wanted = weekly_purchase(1, 52);
    for (PurchaseNeed& need : wanted.needs) need.day -= std::chrono::days(8); // the first on Thursday
    const auto plan = plan_purchases(wanted, to_one_per_cent());
    REQUIRE(plan.found);
    CHECK_FALSE(plan.late.empty());
    for (const PurchaseLate& late : plan.late) CHECK(to_iso(late.date) == "2026-03-04");
    CHECK(purchase_breaches(wanted, plan) == std::vector<std::string>{});
}

TEST_CASE("a year's budget: one that reaches changes nothing, of one that does not the first brews are served") {
    auto wanted = weekly_purchase(1, 52);
    const auto free = plan_purchases(wanted, to_one_per_cent());
    wanted.budget = free.spent() + 1.0;
    CHECK(plan_purchases(wanted, to_one_per_cent()).total_cost == free.total_cost);
    wanted.budget = 0.5 * free.spent();
    const auto plan = plan_purchases(wanted, to_one_per_cent());
    REQUIRE(plan.found);
    CHECK(plan.spent() <= *wanted.budget);
    CHECK(plan.spent() > 0.4 * free.spent());
    REQUIRE_FALSE(plan.late.empty());
    for (const PurchaseLate& late : plan.late) CHECK(late.for_money);
    std::set<Date> late, bought_for;
    for (const PurchaseLate& lacks : plan.late) late.insert(lacks.date);
    for (const PurchaseUse& use : plan.uses)
        if (use.order) bought_for.insert(wanted.needs[use.need].day);
    for (const Date day : bought_for) CHECK_FALSE(late.contains(day)); // each brew whole, or nothing for it
    CHECK(std::ranges::count_if(bought_for, [&](Date day) { return day < *late.begin(); }) >= 20);
    CHECK(purchase_breaches(wanted, plan) == std::vector<std::string>{});
}

TEST_CASE("hops that age in store and packs without a common measure: the rules are kept") {
    auto wanted = weekly_purchase(3, 30);
    for (PurchaseOffer& offer : wanted.offers) {
        if (!offer.item.starts_with("hop")) continue;
        offer.worth = [](Date arrived, Date day) { return std::exp(-0.001 * double((day - arrived).count())); };
        if (offer.item == "hop 0" && offer.supplier == "supplier 3") offer.pack = 0.4536;
    }
    for (int i = 0; i < 12; ++i)
        wanted.supplies.push_back({"lot", "hop " + std::to_string(i), 1.5, wanted.today - std::chrono::days(30),
                                   wanted.today + std::chrono::days(60), [](Date, Date) { return 0.9; }});
    MipOptions limits;
    limits.relative_gap = 0.03;
    limits.seconds = 5.0;
    const auto plan = plan_purchases(wanted, limits);
    REQUIRE(plan.found);
    CHECK(plan.late.empty());
    CHECK(purchase_breaches(wanted, plan) == std::vector<std::string>{});
    CHECK(plan.gap < 0.06); // the bound takes them for fresh
}

TEST_CASE("a year of hops that lose a quarter of their alpha in it: the bound knows that too") {
    PurchaseCase wanted;
    wanted.today = *parse_iso_date("2026-03-02");
    for (int week = 0; week < 52; ++week)
        wanted.needs.push_back({"hop", wanted.today + std::chrono::days(7 * week + 7), 0.8});
    wanted.until = wanted.needs.back().day;
    wanted.most_left["hop"] = 1.0;
    wanted.suppliers.push_back({"north", 30.0});
    for (const double pack : {1.0, 5.0}) {
        wanted.offers.push_back({"north", "hop", pack, {{1, 24.0 * pack}}, 3});
        wanted.offers.back().worth = [](Date arrived, Date day) {
            return std::exp(-0.0008 * double((day - arrived).count()));
        };
    }
    MipOptions limits;
    limits.relative_gap = 0.01;
    limits.seconds = 4.0;
    const auto plan = plan_purchases(wanted, limits);
    REQUIRE(plan.found);
    CHECK(purchase_breaches(wanted, plan) == std::vector<std::string>{});
    CAPTURE(plan.total_cost);
    CAPTURE(plan.bound);
    CHECK(plan.gap <= 0.075); // bounded as if always fresh it is more than a tenth
}

TEST_CASE("a year with stand-ins, and one with packs prescribed, come of the plan without them") {
    auto wanted = weekly_purchase(1, 52);
    MipOptions limits = to_one_per_cent();
    limits.seconds = 4.0;
    const auto plain = plan_purchases(wanted, limits);
    auto with_others = wanted;
    for (PurchaseNeed& need : with_others.needs)
        if (need.item == "base 0") need.alternatives = {{"base 1", 1.0}};
    const auto plan = plan_purchases(with_others, limits);
    REQUIRE(plan.found);
    CHECK(plan.late.empty());
    CHECK(purchase_breaches(with_others, plan) == std::vector<std::string>{});
    CHECK(plan.total_cost <= 1.01 * plain.total_cost); // as near as that was asked for
    CHECK(plan.seconds < 6.0);
    auto more = wanted;
    int packs = 0;
    for (const PurchaseOrderPlan& order : plain.orders)
        for (const PurchaseLine& line : order.lines) packs += line.offer == 0 ? line.packs : 0;
    more.packs_between[0] = {packs + 1, 1'000'000};
    const auto other = plan_purchases(more, limits);
    REQUIRE(other.found);
    int bought = 0;
    for (const PurchaseOrderPlan& order : other.orders)
        for (const PurchaseLine& line : order.lines) bought += line.offer == 0 ? line.packs : 0;
    CHECK(bought > packs);
    CHECK(purchase_breaches(more, other) == std::vector<std::string>{});
}
