// The rules of a purchase, each in a case small enough for paper; and where the needs of brews come from.
#include "brewery.hpp"
#include "golden_table.hpp"
#include "near.hpp"
#include <lotwort/core/error.hpp>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/plan/purchase_cost.hpp>
#include <lotwort/plan/verify_purchase.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

// Monday 2026-03-02; 60 kg of malt on Friday; sacks of 25 kg at 30, two days' lead, closed at the weekend.
PurchaseCase friday() {
    PurchaseCase wanted;
    wanted.today = day("2026-03-02");
    wanted.until = day("2026-03-06");
    wanted.needs.push_back({"malt", day("2026-03-06"), 60.0, 0.0, "P1"});
    wanted.offers.push_back({"hill", "malt", 25.0, {{1, 30.0}}, 2});
    wanted.offers.back().worth_days = 1; // what is left on the last day is worth all of its price
    SupplierTerms terms{"hill"};
    terms.closed[0] = terms.closed[6] = true;
    terms.delivery = 10.0;
    wanted.suppliers.push_back(terms);
    return wanted;
}

bool is_kept(const PurchaseCase& wanted, const PurchasePlan& plan) {
    const auto found = purchase_breaches(wanted, plan);
    for (const auto& breach : found) MESSAGE(breach);
    return plan.found && found.empty();
}

} // namespace

TEST_CASE("the last order day that comes in time: two days' lead before Friday is Wednesday") {
    const auto plan = plan_purchases(friday());
    REQUIRE(plan.orders.size() == 1);
    CHECK(to_iso(plan.orders[0].order_by) == "2026-03-04");
    CHECK(to_iso(plan.orders[0].arrives) == "2026-03-06");
    CHECK(plan.orders[0].lines[0].packs == 3);
    // 3 sacks and a delivery, less 15 kg left at their full price
    CHECK(plan.total_cost == near(90.0 + 10.0 - 18.0));
    CHECK(is_kept(friday(), plan));
}

TEST_CASE("of days that cost the same, the order goes out on the last that comes in time") {
    auto wanted = friday();
    wanted.supplies.push_back({"lot", "malt", 60.0, wanted.today});
    wanted.needs.push_back({"malt", day("2026-03-13"), 50.0, 0.0, "P2"}); // two sacks, of which nothing is left
    wanted.until = day("2026-03-13");
    const auto plan = plan_purchases(wanted);
    CHECK(plan.total_cost == near(70.0));
    REQUIRE(plan.orders.size() == 1);
    CHECK(to_iso(plan.orders[0].order_by) == "2026-03-11");
}

TEST_CASE("closed days are neither order nor arrival days") {
    auto wanted = friday();
    wanted.needs[0].day = wanted.until = day("2026-03-09"); // Monday: two days before is Saturday
    const auto plan = plan_purchases(wanted);
    REQUIRE(plan.orders.size() == 1);
    CHECK(to_iso(plan.orders[0].order_by) == "2026-03-04"); // Thursday and Friday would arrive at the weekend
    CHECK(is_kept(wanted, plan));
    SupplierTerms monday_only;
    monday_only.closed = {true, false, true, true, true, true, true};
    CHECK(arrival_of(monday_only, 2, day("2026-03-02")) == day("2026-03-09")); // never just so: the next open day
    CHECK_FALSE(arrival_of(monday_only, 2, day("2026-03-03")));
}

TEST_CASE("what cannot come in time is late, with the amount and the first day, and is bought for that day") {
    auto wanted = friday();
    wanted.needs[0].day = day("2026-03-03"); // Tuesday; the first arrival is Wednesday
    wanted.supplies.push_back({"lot", "malt", 20.0, day("2026-02-01")});
    const auto plan = plan_purchases(wanted);
    REQUIRE(plan.late.size() == 1);
    CHECK(plan.late[0].amount_short == near(40.0, 1e-6));
    CHECK(plan.late[0].earliest == day("2026-03-04"));
    REQUIRE(plan.orders.size() == 1);
    CHECK(plan.orders[0].lines[0].packs == 2);
    CHECK(is_kept(wanted, plan));
}

TEST_CASE("nobody sells it: late for good, and nothing else is held up") {
    auto wanted = friday();
    wanted.needs.push_back({"hop", day("2026-03-06"), 0.1, 0.0, "P1"});
    const auto plan = plan_purchases(wanted);
    REQUIRE(plan.late.size() == 1);
    CHECK(plan.late[0].item == "hop");
    CHECK_FALSE(plan.late[0].earliest);
    CHECK(plan.orders.size() == 1);
}

TEST_CASE("a price step is for all packs of the order") {
    auto wanted = friday();
    wanted.offers[0].worth_days.reset();
    wanted.most_left["malt"] = 0.0; // what is left is worth nothing
    wanted.offers[0].steps = {{1, 30.0}, {4, 20.0}};
    const auto plan = plan_purchases(wanted);
    CHECK(plan.orders.at(0).lines.at(0).packs == 4); // 80 and not 90
    CHECK(plan.total_cost == near(90.0));
    CHECK(is_kept(wanted, plan));
}

TEST_CASE("a minimum order, and free delivery from a sum, are worth a pack more or not") {
    auto wanted = friday();
    wanted.most_left["malt"] = 0.0;
    wanted.suppliers[0].minimum_order = 110.0;
    CHECK(plan_purchases(wanted).orders.at(0).lines.at(0).packs == 4);
    wanted.suppliers[0].minimum_order = 0.0;
    wanted.suppliers[0].free_from = 120.0;
    CHECK(plan_purchases(wanted).total_cost == near(100.0)); // 3 sacks: a fourth costs 30 and spares 10
    wanted.suppliers[0].delivery = 40.0;
    CHECK(plan_purchases(wanted).total_cost == near(120.0)); // now it spares 40
}

TEST_CASE("a pack serves no use on the day its shelf life ends") {
    auto wanted = friday();
    wanted.needs.push_back({"malt", day("2026-03-13"), 10.0, 0.0, "P2"});
    wanted.until = day("2026-03-13");
    wanted.offers[0].shelf_life_days = 7; // from Friday to Thursday
    CHECK(plan_purchases(wanted).orders.size() == 2);
    wanted.offers[0].shelf_life_days = 8;
    CHECK(plan_purchases(wanted).orders.size() == 1);
}

TEST_CASE("an offer ends: the order goes out by then") {
    auto wanted = friday();
    wanted.offers[0].valid_until = day("2026-03-03");
    const auto plan = plan_purchases(wanted);
    CHECK(to_iso(plan.orders.at(0).order_by) == "2026-03-03");
    CHECK(is_kept(wanted, plan));
}

TEST_CASE("the safety stock is there after the use") {
    auto wanted = friday();
    wanted.needs[0].safety = 16.0; // 15 kg would be left of three sacks
    const auto plan = plan_purchases(wanted);
    CHECK(plan.orders.at(0).lines.at(0).packs == 4);
    CHECK(is_kept(wanted, plan));
}

TEST_CASE("a budget that does not reach: the first brew is served, and it is told what is not") {
    auto wanted = friday();
    wanted.needs[0].amount = 25.0;
    wanted.needs.push_back({"malt", day("2026-03-06"), 25.0, 0.0, "P2"});
    wanted.needs[1].day = wanted.until = day("2026-03-13");
    wanted.budget = 45.0; // one sack and one delivery
    const auto plan = plan_purchases(wanted);
    CHECK(plan.spent() <= 45.0);
    REQUIRE(plan.late.size() == 1);
    CHECK(plan.late[0].brew == "P2");
    CHECK(plan.late[0].for_money);
    CHECK(is_kept(wanted, plan));
}

namespace {

// A brew each Friday: malt, hops and yeast for 216.
PurchaseCase five_brews() {
    auto wanted = friday();
    wanted.needs.clear();
    wanted.supplies.clear();
    wanted.offers = {{"north", "malt", 25.0, {{1, 150.0}}, 2},
                     {"north", "hop", 1.0, {{1, 40.0}}, 2},
                     {"north", "yeast", 1.0, {{1, 26.0}}, 2}};
    wanted.suppliers.clear();
    wanted.most_left = {{"malt", 0.0}, {"hop", 0.0}, {"yeast", 0.0}};
    for (int week = 1; week <= 5; ++week) {
        const Date on = day("2026-03-06") + std::chrono::days(7 * week);
        const std::string brew = "P" + std::to_string(week);
        for (const auto& [item, amount] : {std::pair("malt", 25.0), {"hop", 1.0}, {"yeast", 1.0}})
            wanted.needs.push_back({item, on, amount, 0.0, brew});
        wanted.until = on;
    }
    return wanted;
}

} // namespace

TEST_CASE("a budget buys whole brews from the first on, and no hops for a brew that lacks its malt") {
    auto wanted = five_brews();
    wanted.budget = 500.0;
    const auto two = plan_purchases(wanted);
    CHECK(two.spent() == near(432.0));
    for (const PurchaseUse& use : two.uses) CHECK(wanted.needs[use.need].brew <= "P2");
    REQUIRE(two.late.size() == 9);
    for (const PurchaseLate& late : two.late) CHECK(late.for_money);
    // what is left is enough for the fourth, whose malt and hops are there and are not the third's to use up
    wanted.needs[9].item = wanted.needs[10].item = "of its own";
    wanted.supplies = {{"lot", "of its own", 26.0, wanted.today}};
    CHECK(plan_purchases(wanted).spent() == near(432.0 + 26.0));
    // nobody sells what the first lacks: it comes last, whatever else it needs
    wanted.needs[0].item = "smoked malt";
    const auto others = plan_purchases(wanted);
    CHECK(others.spent() == near(432.0 + 26.0));
    CHECK(
        std::ranges::none_of(others.uses, [&](const PurchaseUse& use) { return wanted.needs[use.need].brew == "P1"; }));
}

TEST_CASE("a budget that is enough for all brews, and not for what would be left, is enough") {
    auto wanted = friday();
    wanted.needs[0].amount = 25.0;
    wanted.supplies.clear();
    wanted.suppliers = {{"north", 12.0, 70.0}}; // two sacks at 35 come free of delivery, and keep their worth
    wanted.offers = {{"north", "malt", 25.0, {{1, 35.0}}, 2}};
    CHECK(plan_purchases(wanted).spent() == near(70.0));
    wanted.budget = 50.0;
    const auto plan = plan_purchases(wanted);
    CHECK(plan.late.empty());
    CHECK(plan.spent() == near(47.0));
}

TEST_CASE("prices that rise with the number of packs are refused") {
    auto wanted = friday();
    wanted.offers[0].steps = {{1, 30.0}, {4, 31.0}};
    CHECK_THROWS_WITH_AS((void)plan_purchases(wanted),
                         "the offer of hill for malt asks more for a pack when more are bought", Error);
}

TEST_CASE("a pack more or less: what the next best plan costs") {
    auto wanted = friday();
    wanted.most_left["malt"] = 0.0;
    const auto plan = plan_purchases(wanted);
    const auto changes = pack_changes(wanted, plan, {});
    REQUIRE(changes.size() == 2);
    CHECK(changes[0].costs == near(30.0));
    CHECK_FALSE(changes[1].costs); // two sacks do not do
}

TEST_CASE("the verifier sees a plan that was tampered with") {
    const auto wanted = friday();
    const auto good = plan_purchases(wanted);
    auto plan = good;
    plan.orders[0].lines[0].packs = 2;
    CHECK_FALSE(purchase_breaches(wanted, plan).empty());
    plan = good;
    plan.orders[0].arrives = day("2026-03-07"); // a Saturday, and after the brew
    CHECK(purchase_breaches(wanted, plan).size() >= 2);
    plan = good;
    plan.total_cost -= 1.0;
    CHECK_FALSE(purchase_breaches(wanted, plan).empty());
    plan = good;
    plan.orders[0].delivery = 0.0;
    CHECK_FALSE(purchase_breaches(wanted, plan).empty());
}

TEST_CASE("published: the newsvendor's order, and the economic order quantity's cost as a floor") {
    // A year in weeks of 25: lots of thirteen weeks cost 4 * 8 + 0.225 * 325 / 2 = 68.56, and continuous demand within
    // the week adds 0.225 * 25 / 2 to what is in stock at the weeks' ends.
    PurchaseCase wanted;
    wanted.today = day("2026-01-05");
    for (int week = 0; week < 52; ++week)
        wanted.needs.push_back({"part", wanted.today + std::chrono::days(7 * week), 25.0});
    wanted.until = wanted.needs.back().day;
    wanted.offers.push_back({"works", "part", 1.0, {{1, 0.0}}});
    wanted.suppliers.push_back({"works"});
    wanted.suppliers.back().delivery = 8.0;
    wanted.holding["part"].per_day = 0.225 / 364.0;
    MipOptions limits;
    limits.relative_gap = 1e-4;
    const auto plan = plan_purchases(wanted, limits);
    const double continuous = plan.total_cost + 0.225 * 25.0 / 2.0;
    CHECK(continuous == near(68.5625, 2e-4));
    check_golden_table("safety.tsv", {{"eoq",
                                       [&](const GoldenRow& row) {
                                           // lots are whole weeks' demands: the mean is within one of the quantity
                                           const double lot = 1300.0 / static_cast<double>(plan.orders.size());
                                           CHECK(std::abs(lot - row.expected) <= 25.0);
                                           return std::sqrt(2.0 * row.arg("k") * row.arg("demand") / row.arg("h"));
                                       }},
                                      {"eoq_cost",
                                       [&](const GoldenRow& row) {
                                           const double eoq = row.expected; // no plan in whole lots may cost less
                                           CHECK(continuous >= eoq);
                                           CHECK(continuous <= 1.005 * eoq);
                                           return std::sqrt(2.0 * row.arg("k") * row.arg("h") * row.arg("demand"));
                                       }},
                                      {"nv_normal", [](const GoldenRow& row) {
                                           const double h = row.arg("h"), p = row.arg("p");
                                           return row.arg("mean") + row.arg("sd") * service_factor(p / (p + h));
                                       }}});
    CHECK(service_factor(0.95) == near(1.6448536269514722, 1e-9));
    CHECK(service_factor(0.5) == 0.0);
}

namespace {

PurchaseWish wish() {
    PurchaseWish made;
    made.today = day("2026-03-02");
    made.items = cards();
    made.brews = {pale_ale("P1", "2026-03-20")};
    Supplier hill;
    hill.name = "hill";
    hill.lead_days = 3;
    made.suppliers = {hill};
    for (const char* item : {"pale", "crystal", "bitter", "floral"}) {
        Offer offer;
        offer.supplier = "hill";
        offer.item = item;
        offer.pack = Kilograms(1.0);
        offer.price_steps = {{1, Money{200}}};
        made.offers.push_back(offer);
    }
    return made;
}

const PurchaseNeed& need_of(const DrawnPurchase& drawn, const char* item) {
    return *std::find_if(drawn.wanted.needs.begin(), drawn.wanted.needs.end(),
                         [&](const PurchaseNeed& need) { return need.item == item; });
}

} // namespace

TEST_CASE("needs are those of the recipe, and malts alone ask for a safety stock where hops are weighed by mass") {
    const auto drawn = draw_purchase(wish());
    CHECK(need_of(drawn, "pale").amount == near(20.0));
    CHECK(need_of(drawn, "bitter").amount == near(0.1));
    // one brew within lead time and wait: z times its mass times the relative sd of its gravity
    const auto og = nominal_brew(pale_ale("P1", "2026-03-20"), cards()).forecast.original_gravity_sg;
    CHECK(need_of(drawn, "pale").safety == near(1.6448536 * 20.0 * og.sd / (og.value - 1.0), 1e-6));
    CHECK(need_of(drawn, "bitter").safety == 0.0);
    auto calm = wish();
    calm.service = 0.5;
    CHECK(need_of(draw_purchase(calm), "pale").safety == 0.0);
}

TEST_CASE("a lot counts by its extract, a hop by the alpha that is left on the day") {
    auto wanted = wish();
    wanted.lots = {lot("L1", "pale", 10.0), lot("L2", "bitter", 1.0)};
    wanted.brews[0].recipe.grist = {{"pale", Percent(100.0), {}}};
    wanted.brews[0].recipe.original_gravity = SpecificGravity(1.045);
    wanted.lots[0].lot.certificate.emplace().extract = Percent(81.5 * 1.02);
    wanted.lots[0].lot.certificate->extract_basis = ExtractBasis::fine_dry;
    wanted.lots[0].lot.certificate->moisture = Percent(4.0);
    wanted.lots[1].lot.certificate.emplace().alpha = Percent(12.0);
    wanted.lots[1].lot.certificate->analysed = day("2025-09-01");
    const auto drawn = draw_purchase(wanted);
    REQUIRE(drawn.wanted.supplies.size() == 2);
    CHECK(drawn.wanted.supplies[0].worth(day("2026-01-02"), day("2026-03-20")) == near(1.02, 1e-9));
    const Worth& hop = drawn.wanted.supplies[1].worth;
    CHECK(hop(day("2026-01-02"), day("2026-03-20")) < 1.0);
    CHECK(hop(day("2026-01-02"), day("2026-09-20")) < hop(day("2026-01-02"), day("2026-03-20")));
    const auto sold = std::ranges::find(drawn.wanted.offers, "floral", &PurchaseOffer::item);
    REQUIRE(sold != drawn.wanted.offers.end());
    const Worth& bought = sold->worth; // the earlier it comes, the less it counts
    CHECK(bought(day("2026-03-05"), day("2026-09-20")) < bought(day("2026-09-05"), day("2026-09-20")));
}

TEST_CASE("an open order counts for what has not come of it, a closed one for nothing") {
    auto wanted = wish();
    Order order;
    order.code = "O1";
    order.supplier = "hill";
    order.ordered = day("2026-03-01");
    order.arrives = day("2026-03-06");
    order.lines = {{"pale", Kilograms(25.0), {}, {}, 2, Money{6000}}};
    order.received = {"L1"};
    wanted.lots = {lot("L1", "pale", 20.0)};
    wanted.orders = {order};
    const auto rest = rest_of(order, wanted.lots);
    REQUIRE(rest.size() == 1);
    CHECK(rest[0].awaited == Amount::of(Kilograms(30.0)));
    CHECK(draw_purchase(wanted).wanted.supplies.size() == 2);
    wanted.orders[0].closed = "sold out";
    CHECK_FALSE(is_open(wanted.orders[0], wanted.lots));
    CHECK(draw_purchase(wanted).wanted.supplies.size() == 1);
}

TEST_CASE("buy or substitute, whichever is cheaper: one model") {
    auto wanted = wish();
    wanted.lots = {lot("L1", "lager", 40.0)}; // base malts near in colour: lager may stand in for pale
    auto drawn = draw_purchase(wanted);
    const auto bought = plan_purchases(drawn.wanted);
    wanted.allow_substitutes = true;
    drawn = draw_purchase(wanted);
    CHECK_FALSE(need_of(drawn, "pale").alternatives.empty());
    const auto both = plan_purchases(drawn.wanted);
    CHECK(both.total_cost < bought.total_cost - 1.0);
    CHECK(is_kept(drawn.wanted, both));
    bool stands_in = false;
    for (const PurchaseUse& use : both.uses)
        stands_in = stands_in || (use.supply && drawn.wanted.needs[use.need].item == "pale");
    CHECK(stands_in);
}
