// What open plans have reserved serves them first; what they lack is bought, and the safety stock is told as what it
// is.
#include "brewery.hpp"
#include "near.hpp"
#include "purchase_trials.hpp"
#include <doctest/doctest.h>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/plan/purchase_demand.hpp>
#include <lotwort/plan/purchase_purpose.hpp>
#include <lotwort/plan/verify_purchase.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

// 20 kg of pale and 1 kg of crystal for each brew; hill sells pale in sacks of 25 kg, three days ahead.
PurchaseWish wish(std::vector<BrewToFill> brews) {
    PurchaseWish made;
    made.today = day("2026-03-02");
    made.items = cards();
    made.brews = std::move(brews);
    Supplier hill;
    hill.name = "hill";
    hill.lead_days = 3;
    made.suppliers = {hill};
    Offer offer;
    offer.supplier = "hill";
    offer.item = "pale";
    offer.pack = Kilograms(25.0);
    offer.price_steps = {{1, Money{3000}}};
    made.offers = {offer};
    made.lots = {lot("L1", "pale", 40.0)};
    made.service = 0.5; // no safety stock unless a test asks for it
    return made;
}

// The plan has reserved so much of L1 for its pale malt; of everything else it needs nothing here.
void reserve(PurchaseWish& wish, const char* brew, double kg) {
    wish.kept[brew].reserved.push_back({0, "L1", Amount::of(Kilograms(kg))});
    wish.lots[0].promised = wish.lots[0].promised + Amount::of(Kilograms(kg));
}

void lack(PurchaseWish& wish, const char* brew, double kg) {
    wish.kept[brew].lacking.push_back({0, "pale", Amount::of(Kilograms(kg))});
}

PurchasePlan planned(const DrawnPurchase& drawn) {
    const auto plan = plan_purchases(drawn.wanted);
    CHECK(purchase_breaches(drawn.wanted, plan) == std::vector<std::string>{});
    return plan;
}

} // namespace

TEST_CASE("a plan that has all it needs reserved asks for nothing, whatever its recipe comes to by now") {
    auto wanted = wish({pale_ale("P1", "2026-03-03")}); // too soon for anything to be bought
    reserve(wanted, "P1", 19.9);                        // 100 g less than the recipe says now
    const auto drawn = draw_purchase(wanted);
    const auto plan = planned(drawn);
    CHECK(plan.late.empty());
    CHECK(plan.orders.empty());
}

TEST_CASE("what a later brew has reserved is not taken by an earlier one: that is bought for") {
    auto wanted = wish({pale_ale("P1", "2026-03-10"), pale_ale("P2", "2026-04-20")});
    lack(wanted, "P1", 20.0);
    reserve(wanted, "P2", 40.0);
    const auto plan = planned(draw_purchase(wanted));
    CHECK(plan.late.empty());
    REQUIRE(plan.orders.size() == 1);
    CHECK(plan.orders[0].arrives <= day("2026-03-10"));
    SUBCASE("and is so though the later brew lies beyond the horizon") {
        wanted.horizon_days = 14;
        const auto drawn = draw_purchase(wanted);
        CHECK(planned(drawn).orders.size() == 1);
        CHECK(drawn.beyond == std::vector<std::pair<std::string, Date>>{{"P2", day("2026-04-20")}});
    }
}

TEST_CASE("what a plan lacks is late by so much, not by all it needs") {
    auto wanted = wish({pale_ale("P1", "2026-03-03")});
    reserve(wanted, "P1", 17.0);
    lack(wanted, "P1", 3.0);
    wanted.lots[0].on_hand = wanted.lots[0].promised; // and no more of it is there
    const auto plan = planned(draw_purchase(wanted));
    REQUIRE(plan.late.size() == 1);
    CHECK(plan.late[0].amount_short == near(3.0, 1e-6));
    CHECK(plan.late[0].earliest == day("2026-03-05"));
}

TEST_CASE("free stock serves what a plan lacks") {
    auto wanted = wish({pale_ale("P1", "2026-03-03")});
    reserve(wanted, "P1", 17.0);
    lack(wanted, "P1", 3.0);
    const auto plan = planned(draw_purchase(wanted));
    CHECK(plan.late.empty());
    CHECK(plan.orders.empty());
}

TEST_CASE("a sack for the safety stock alone is told as that, and a safety stock that cannot come makes nothing late") {
    auto wanted = wish({pale_ale("P1", "2026-03-10")});
    wanted.service = 0.95;
    reserve(wanted, "P1", 20.0);
    wanted.lots[0].on_hand = wanted.lots[0].promised;
    const auto drawn = draw_purchase(wanted);
    const auto og = nominal_brew(wanted.brews[0], wanted.items).forecast.original_gravity_sg;
    const double safety = 1.6448536269514722 * 20.0 * og.sd / (og.value - 1.0); // z times what P1 may take more
    const auto plan = planned(drawn);
    CHECK(plan.late.empty());
    const auto purposes = purposes_of(drawn.wanted, plan);
    REQUIRE(purposes.size() == 1);
    CHECK(purposes[0].bought == 25.0);
    CHECK(purposes[0].for_brews == 0.0);
    CHECK(purposes[0].safety == near(safety, 1e-9));
    CHECK(purposes[0].left == near(25.0 - safety, 1e-9));
    CHECK(purposes[0].brews.empty());

    wanted.brews[0].date = day("2026-03-03");
    const auto soon = planned(draw_purchase(wanted));
    CHECK(soon.late.empty());
    CHECK(soon.orders.empty());
    REQUIRE(soon.safety_short.size() == 1);
    CHECK(soon.safety_short[0].asked == near(safety, 1e-9));
    CHECK(soon.safety_short[0].lacks == near(safety, 1e-9));
}

TEST_CASE("a stand-in that is reserved is what the brew takes") {
    auto wanted = wish({pale_ale("P1", "2026-03-10")});
    wanted.lots.push_back(lot("L2", "lager", 20.0));
    wanted.kept["P1"].reserved = {{0, "L2", Amount::of(Kilograms(20.0)), "pale"}};
    wanted.lots[1].promised = Amount::of(Kilograms(20.0));
    const auto drawn = draw_purchase(wanted);
    const auto plan = planned(drawn);
    CHECK(plan.orders.empty());
    REQUIRE(plan.uses.size() == 1);
    CHECK(drawn.wanted.supplies[*plan.uses[0].supply].name == "L2");
}

TEST_CASE("forty weeks with sacks that are kept for brews: the rules hold, and the bound is near") {
    auto wanted = weekly_purchase(2, 40);
    for (std::size_t n = 0; n < wanted.needs.size(); n += 3) { // every third need has its own
        wanted.supplies.push_back({"kept", wanted.needs[n].item, wanted.needs[n].amount, wanted.today});
        wanted.supplies.back().set_aside = true;
        wanted.needs[n].set_aside = wanted.supplies.size() - 1;
    }
    MipOptions limits;
    limits.relative_gap = 0.01;
    const auto plan = plan_purchases(wanted, limits);
    REQUIRE(plan.found);
    CHECK(plan.late.empty());
    CHECK(purchase_breaches(wanted, plan) == std::vector<std::string>{});
    CHECK(plan.gap <= 0.02);
}

namespace {

// Ten sacks at 30 for a brew of 240 kg, or more; delivery 20, free from 400; nobody knows of a use for more.
PurchaseCase sacks() {
    PurchaseCase wanted;
    wanted.today = day("2026-03-02");
    wanted.until = day("2026-03-06");
    wanted.needs.push_back({"malt", day("2026-03-06"), 240.0, 0.0, "P1"});
    wanted.offers.push_back({"hill", "malt", 25.0, {{1, 30.0}}, 2});
    SupplierTerms terms{"hill"};
    terms.delivery = 20.0;
    wanted.suppliers.push_back(terms);
    wanted.most_left["malt"] = 10.0;
    return wanted;
}

} // namespace

TEST_CASE("an order that is filled up says what for") {
    auto wanted = sacks();
    CHECK(fills_of(wanted, plan_purchases(wanted)).empty()); // ten sacks, 10 kg left: no sack too many
    wanted.suppliers[0].free_from = 315.0;                   // an eleventh costs 30, and spares only 20
    CHECK(fills_of(wanted, plan_purchases(wanted)).empty());
    wanted.suppliers[0].delivery = 40.0; // now it spares 40
    auto fills = fills_of(wanted, plan_purchases(wanted));
    REQUIRE(fills.size() == 1);
    CHECK(fills[0].packs == 1);
    CHECK(fills[0].what == FilledFor::free_delivery);
    CHECK(fills[0].more_now == near(30.0));
    CHECK(fills[0].delivery_saved == near(40.0));
    CHECK(fills[0].saved_later == near(0.0)); // 10 kg of the tenth sack are all that a use is foreseen for
    wanted = sacks();
    wanted.suppliers[0].minimum_order = 350.0;
    fills = fills_of(wanted, plan_purchases(wanted));
    REQUIRE(fills.size() == 1);
    CHECK(fills[0].packs == 2);
    CHECK(fills[0].what == FilledFor::minimum_order);
    CHECK(fills[0].more_now == near(60.0));
    CHECK(fills[0].delivery_saved == near(0.0));
    wanted.most_left["malt"] = 40.0; // 10 kg of the tenth, 30 of the two, at 1.20 a kilogram
    CHECK(fills_of(wanted, plan_purchases(wanted))[0].saved_later == near(36.0));
    wanted.offers[0].worth_days = 40;
    wanted.until = day("2026-03-08"); // two days of the forty after they came
    CHECK(fills_of(wanted, plan_purchases(wanted))[0].saved_later == near(36.0 * 38.0 / 40.0));
    wanted = sacks();
    wanted.offers[0].steps.push_back({12, 20.0});
    fills = fills_of(wanted, plan_purchases(wanted));
    REQUIRE(fills.size() == 1);
    CHECK(fills[0].packs == 2);
    CHECK(fills[0].what == FilledFor::lower_price);
    CHECK(fills[0].more_now == near(12 * 20.0 - 10 * 30.0)); // less than without them
}

TEST_CASE("what nobody foresees a use for is worth nothing: it does not pay for a delivery") {
    // Two brews, a yeast each at 5.00; delivery 25, free from 40. Eight yeasts are 40 and spare the 25, if the six that
    // are left were worth 30; they are for no brew, and spoil.
    PurchaseWish wanted;
    wanted.today = day("2026-03-02");
    Item yeast;
    yeast.name = "yeast";
    yeast.kind = ItemKind::yeast;
    wanted.items = cards();
    wanted.items.push_back(yeast);
    for (const char* on : {"2026-03-12", "2026-03-19"}) {
        BrewToFill brew = pale_ale(on, on);
        wanted.kept[on].lacking = {{4, "yeast", Amount::pieces(1)}};
        OtherLine line;
        line.item = "yeast";
        line.stage = Stage::fermenter;
        line.count = 1;
        brew.recipe.others = {line};
        wanted.brews.push_back(brew);
    }
    Supplier hill;
    hill.name = "hill";
    hill.lead_days = 3;
    hill.delivery = Money{2500};
    hill.free_delivery_from = Money{4000};
    wanted.suppliers = {hill};
    Offer offer;
    offer.supplier = "hill";
    offer.item = "yeast";
    offer.pack_count = 1;
    offer.price_steps = {{1, Money{500}}};
    offer.shelf_life_days = 90;
    wanted.offers = {offer};
    const auto drawn = draw_purchase(wanted);
    const auto plan = planned(drawn);
    REQUIRE(plan.orders.size() == 1);
    CHECK(plan.orders[0].lines[0].packs == 2);
    CHECK(plan.total_cost == near(35.0)); // two yeasts, one delivery, nothing left
}
