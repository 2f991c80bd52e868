// What to buy, from whom, by when: the published lot-sizing examples, and small cases worked out on paper.
#include "golden_table.hpp"
#include "purchase_trials.hpp"
#include <algorithm>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/plan/verify_purchase.hpp>
#include <sstream>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

Date at(int day) {
    return *parse_iso_date("2026-03-02") + std::chrono::days(day); // a Monday
}

// One supplier, one item, packs of one unit that cost nothing: set-up and holding alone.
PurchaseCase classical(const std::vector<double>& demand, const std::vector<double>& setup, double hold) {
    PurchaseCase wanted;
    wanted.today = at(1);
    wanted.offers.push_back({"works", "part", 1.0, {{1, 0.0}}});
    wanted.suppliers.push_back({"works"});
    wanted.holding["part"].per_day = hold;
    for (std::size_t i = 0; i < demand.size(); ++i) {
        wanted.needs.push_back({"part", at(int(i) + 1), demand[i]});
        wanted.suppliers.back().delivery_on[at(int(i) + 1)] = setup[i];
    }
    wanted.until = at(int(demand.size()));
    return wanted;
}

std::vector<double> data(const std::string& set) {
    std::vector<double> values;
    std::istringstream in(project_file("tests/golden/lot_sizing_data.tsv"));
    for (std::string line; std::getline(in, line);)
        if (line.starts_with(set + "\t")) values.push_back(std::stod(line.substr(set.size() + 1)));
    REQUIRE(!values.empty());
    return values;
}

PurchasePlan wagner_whitin(std::size_t periods) {
    auto demand = data("ww_demand"), setup = data("ww_setup");
    demand.resize(periods);
    setup.resize(periods);
    return plan_purchases(classical(demand, setup, 1.0));
}

PurchasePlan constant_setup() {
    return plan_purchases(classical({90, 120, 80, 70}, {500, 500, 500, 500}, 2.0));
}

double lot(const PurchasePlan& plan, int period) {
    double packs = 0.0;
    for (const PurchaseOrderPlan& order : plan.orders)
        if (order.arrives == at(period))
            for (const PurchaseLine& line : order.lines) packs += line.packs;
    return packs;
}

} // namespace

TEST_CASE("the published lot-sizing examples come out at their published optimum") {
    check_golden_table("lot_sizing.tsv",
                       {{"ds_ww",
                         [](const GoldenRow& row) {
                             const bool part = row.words.at("which") == "cum";
                             const auto i = row.args.contains("i") ? row.arg("i") : 12.0;
                             const auto plan = wagner_whitin(part ? std::size_t(i) : 12);
                             return row.words.at("which") == "lot" ? lot(plan, int(i)) : plan.total_cost;
                         }},
                        {"ww_constant", [](const GoldenRow& row) {
                             const auto plan = constant_setup();
                             return row.words.at("which") == "lot" ? lot(plan, int(row.arg("i"))) : plan.total_cost;
                         }}});
}

TEST_CASE("fifty small purchases drawn by chance cost what trying every order out finds") {
    int feasible = 0;
    for (unsigned seed = 1; seed <= 50; ++seed) {
        CAPTURE(seed);
        const auto wanted = drawn_purchase(seed);
        const auto plan = plan_purchases(wanted);
        REQUIRE(plan.found);
        CHECK(purchase_breaches(wanted, plan) == std::vector<std::string>{});
        const bool whole = plan.late.empty() && !plan.below_safety;
        if (!whole) { // a plan that is in time and 20 dearer would show it wrong
            CHECK_FALSE(could_be_in_time(wanted, plan.spent() + plan.holding + 20.0));
            continue;
        }
        const double least = tried_out_cost(wanted, plan.total_cost + 0.01);
        REQUIRE(std::isfinite(least));
        ++feasible;
        CHECK(std::abs(plan.total_cost - least) <= 1e-6 * std::max(1.0, std::abs(least)));
        CHECK(std::abs(plan.bound - least) <= 1e-6 * std::max(1.0, std::abs(least)));
    }
    CHECK(feasible >= 25);
}
