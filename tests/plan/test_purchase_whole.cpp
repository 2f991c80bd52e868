// Plans held against the same purchase written out whole, with every offer on every day.
#include "near.hpp"
#include "whole_purchase.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/plan/verify_purchase.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

Date at(int day) {
    return *parse_iso_date("2026-03-02") + std::chrono::days(day); // a Monday
}

} // namespace

TEST_CASE("malt that takes two days and hops that take three: one order on Tuesday brings both for Monday") {
    PurchaseCase wanted;
    wanted.today = at(0);
    wanted.until = at(7); // the Monday after
    wanted.needs = {{"malt", at(7), 1.0}, {"hop", at(7), 1.0}};
    SupplierTerms terms{"north", 14.94};
    terms.closed[0] = terms.closed[6] = true;
    wanted.suppliers = {terms};
    wanted.offers = {{"north", "malt", 1.0, {{1, 5.66}}, 2}, {"north", "hop", 1.0, {{1, 5.66}}, 3}};
    const auto plan = plan_purchases(wanted);
    // 2 x 5.66 and one delivery; on Wednesday the malt alone would come in time, on Friday the hops alone
    CHECK(plan.total_cost == near(26.26));
    CHECK(plan.proven_optimal);
    REQUIRE(plan.orders.size() == 2); // one order, whose lines come on two days
    CHECK(plan.orders[0].order_by == at(1));
    CHECK(plan.orders[1].order_by == at(1));
    CHECK(plan.deliveries == near(14.94));
}

TEST_CASE("purchases of many kinds drawn by chance cost what the model with all days costs, and no bound is above it") {
    int in_time = 0;
    std::vector<unsigned> seeds{1135}; // of which the solver once proved 151.94 where 151.34 will do
    for (unsigned seed = 1; seed <= 50; ++seed) seeds.push_back(seed);
    for (const unsigned seed : seeds) {
        CAPTURE(seed);
        const auto wanted = mixed_purchase(seed);
        const auto whole = whole_answer(wanted);
        const auto plan = plan_purchases(wanted);
        REQUIRE(plan.found);
        CHECK(purchase_breaches(wanted, plan) == std::vector<std::string>{});
        if (!whole.in_time) {
            CHECK((!plan.late.empty() || plan.below_safety));
            continue;
        }
        CHECK(plan.late.empty());
        CHECK(plan.looked_twice);
        ++in_time;
        CHECK(plan.total_cost == near(whole.cost, 1e-5));
        CHECK(plan.bound <= whole.cost + 1e-5 * std::max(1.0, std::abs(whole.cost)));
    }
    CHECK(in_time >= 20);
}
