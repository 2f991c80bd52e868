// One item's purchases by dynamic programming, and what it bounds: held against every choice tried out, and against
// plans known to be the best.
#include "../../src/plan/purchase/bound.hpp"
#include "../../src/plan/purchase/lot_sizing.hpp"
#include "../../src/plan/purchase/planner.hpp"
#include "golden.hpp"
#include "near.hpp"
#include "purchase_trials.hpp"
#include "whole_purchase.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/plan/purchase.hpp>
#include <random>
#include <sstream>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

// An item drawn by chance: up to four uses, five chances, packs of one to three units, two price steps.
LotItem drawn_item(std::mt19937& engine) {
    const auto draw = [&](int low, int high) { return low + int(engine() % unsigned(high - low + 1)); };
    LotItem item;
    item.unit = 0.5 * draw(1, 3);
    item.constant = draw(0, 5);
    int needed = 0;
    for (int u = draw(1, 4); u > 0; --u) {
        needed += draw(0, 3);
        item.uses.push_back({needed, 0.25 * draw(0, 3), -needed * item.unit, false});
    }
    item.left_base = -needed * item.unit;
    item.left_most = draw(0, 1) == 0 ? 1.0 : no_limit;
    item.most_state = needed + 40; // none is cut off
    for (int c = draw(1, 5); c > 0; --c) {
        LotChance chance;
        chance.use = std::size_t(draw(0, int(item.uses.size())));
        chance.units = draw(1, 3);
        chance.kept = 0.5 * draw(0, 2);
        chance.most_state = item.most_state;
        chance.left_worth = draw(0, 2);
        chance.left_more = draw(0, 1);
        if (draw(0, 2) == 0) chance.most_gain = draw(0, 6); // what is bought beyond is of no use
        chance.keeps = chance.most_gain == std::numeric_limits<int>::max();
        chance.bands = {{1, 2, 5.0 + draw(0, 3), 0.0}, {3, 3, 4.0 + draw(0, 1), 0.0}};
        item.chances.push_back(chance);
    }
    std::ranges::stable_sort(item.chances, {}, &LotChance::use);
    return item;
}

// Every number of packs at every chance, the cost added up as the header says it.
double tried_out(const LotItem& item, const std::vector<ChanceTerms>& terms, std::vector<int>& packs, std::size_t c) {
    if (c < item.chances.size()) {
        double least = no_limit;
        for (int n = 0; n <= (terms[c].open ? 3 : 0); ++n) {
            packs[c] = n;
            least = std::min(least, tried_out(item, terms, packs, c + 1));
        }
        packs[c] = 0;
        return least;
    }
    double cost = item.constant;
    int state = 0;
    const auto beyond = [&](int k) { return std::max(0.0, std::min(item.left_base, 0.0) + item.unit * k); };
    const auto left = [&](int k) { return std::min(item.left_most, beyond(k)); };
    for (std::size_t u = 0; u <= item.uses.size(); ++u) {
        for (std::size_t i = 0; i < packs.size(); ++i) {
            const LotChance& chance = item.chances[i];
            if (chance.use != u || packs[i] == 0) continue;
            const double price = packs[i] < 3 ? chance.bands[0].price : chance.bands[1].price;
            cost += terms[i].setup + packs[i] * (price * (1.0 - terms[i].price_off) + chance.kept);
            const int gained = std::min(packs[i] * chance.units, chance.most_gain);
            cost -= chance.left_worth * (left(state + gained) - left(state));
            cost -= chance.left_more * (beyond(state + gained) - beyond(state));
            state += gained;
        }
        if (u == item.uses.size()) break;
        if (state < item.uses[u].least) return no_limit;
        cost += item.uses[u].rate * std::max(0.0, item.uses[u].base + item.unit * state);
    }
    return cost;
}

// What no plan of the case costs less than, sought for a while.
double bound_of(const PurchaseCase& wanted, double upper) {
    const JointLots lots = joint_lots(wanted);
    OrderPrices prices(lots);
    for (int n = 0; n < 200 && !prices.is_done(); ++n)
        if (!prices.step(upper)) return no_limit;
    const JointLots fine = joint_lots(wanted, LotsFor::fine_bound);
    OrderPrices finer(fine, prices);
    for (int n = 0; n < 20 && !finer.is_done(); ++n) finer.step(upper);
    return std::max(prices.bound(), finer.bound());
}

} // namespace

TEST_CASE("one item's packs cost what trying all of them out finds, or cannot be had") {
    std::mt19937 engine(11);
    LotSizer sizer;
    int met = 0;
    for (int trial = 0; trial < 400; ++trial) {
        const LotItem item = drawn_item(engine);
        std::vector<ChanceTerms> terms;
        for (std::size_t c = 0; c < item.chances.size(); ++c)
            terms.push_back({engine() % 5 != 0, double(engine() % 4), 0.1 * double(engine() % 3)});
        std::vector<int> packs(item.chances.size(), 0);
        const double least = tried_out(item, terms, packs, 0);
        const LotChoice choice = sizer.solve(item, terms);
        CAPTURE(trial);
        CHECK(std::isfinite(choice.cost) == std::isfinite(least));
        if (!std::isfinite(least)) continue;
        ++met;
        CHECK(choice.cost == near(least, 1e-9));
        // and the packs it names are of that cost
        std::vector<int> named = choice.packs;
        CHECK(tried_out(item, terms, named, named.size()) == near(least, 1e-9));
    }
    CHECK(met > 200);
}

TEST_CASE("no plan costs less than the bound: small purchases whose best plan is known, with odd packs and ageing") {
    int known = 0, near = 0;
    for (unsigned seed = 1; seed <= 100; ++seed) {
        auto wanted = drawn_purchase(seed);
        wanted.budget.reset();
        std::mt19937 engine(seed);
        const auto of = [&](double low, double high) { return low + (high - low) * double(engine() % 1000U) / 1e3; };
        if (seed % 2 == 1) {
            for (PurchaseOffer& offer : wanted.offers) {
                const double a_day = of(0.0, 0.1);
                offer.worth = [a_day](Date arrived, Date day) {
                    return std::exp(-a_day * double((day - arrived).count()));
                };
                if (engine() % 3 == 0) offer.pack = of(0.7, 2.5);
            }
            for (PurchaseSupply& supply : wanted.supplies) supply.worth = [f = of(0.8, 1.2)](Date, Date) { return f; };
            for (PurchaseNeed& need : wanted.needs) need.amount *= of(0.5, 1.5);
        }
        CAPTURE(seed);
        const auto plan = plan_purchases(wanted);
        if (!plan.found || !plan.late.empty() || plan.below_safety) continue;
        ++known;
        const double bound = bound_of(wanted, plan.total_cost);
        CHECK(bound <= plan.total_cost + 1e-6 * std::max(1.0, std::abs(plan.total_cost)));
        near += bound > 0.8 * plan.total_cost ? 1 : 0;
    }
    CHECK(known > 70);
    CHECK(near > 40); // a bound of nothing would hold too
}

TEST_CASE("no plan costs less than the bound: two suppliers' lead times, goods that spoil, minimum and free delivery") {
    int known = 0, near = 0;
    for (unsigned seed = 1; seed <= 60; ++seed) {
        CAPTURE(seed);
        auto wanted = mixed_purchase(seed);
        wanted.budget.reset();
        const WholeAnswer whole = whole_answer(wanted);
        if (!whole.in_time) continue;
        ease_safety(wanted);
        ++known;
        const double least = whole.cost + 1e-6 * std::max(1.0, std::abs(whole.cost));
        const double bound = bound_of(wanted, whole.cost);
        CHECK(bound <= least);
        near += bound > 0.8 * whole.cost ? 1 : 0;
    }
    CHECK(known >= 30);
    CHECK(near >= 20);
}

TEST_CASE("published: the bound of Wagner and Whitin's twelve periods is their 864") {
    std::vector<double> demand, setup;
    std::istringstream in(project_file("tests/golden/lot_sizing_data.tsv"));
    for (std::string line; std::getline(in, line);) {
        if (line.starts_with("ww_demand\t")) demand.push_back(std::stod(line.substr(10)));
        if (line.starts_with("ww_setup\t")) setup.push_back(std::stod(line.substr(9)));
    }
    REQUIRE(demand.size() == 12);
    REQUIRE(setup.size() == 12);
    PurchaseCase wanted;
    wanted.today = *parse_iso_date("2026-03-02");
    wanted.offers.push_back({"works", "part", 1.0, {{1, 0.0}}});
    wanted.suppliers.push_back({"works"});
    wanted.holding["part"].per_day = 1.0;
    for (std::size_t i = 0; i < 12; ++i) {
        const Date day = wanted.today + std::chrono::days(i);
        wanted.needs.push_back({"part", day, demand[i]});
        wanted.suppliers.back().delivery_on[day] = setup[i];
        wanted.until = day;
    }
    CHECK(bound_of(wanted, no_limit) == near(864.0, 1e-9)); // WW1958, the optimal total
}
