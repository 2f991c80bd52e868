// The sums and limits that a stand-in is chosen by, each small enough for paper.
#include "cards.hpp"
#include "near.hpp"
#include "plan/answers.hpp"
#include "substitute/borrow.hpp"
#include "substitute/case.hpp"
#include "substitute/character.hpp"
#include "substitute/takes.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/plan/stand_in.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

std::optional<double> apart(const Item& asked, const Item& other) {
    return distance(character_of(asked), character_of(other), HoleKind::extract, {});
}

// Of the forecast's figures, and one malt of which brews taught something.
Learned taught(const char* malt, double difference) {
    Learned l;
    l.brews = 10;
    l.malts = {malt};
    l.mean = {std::log(0.92), 0.0, 3.0, 1.0, 1.0, difference};
    l.covariance.assign(36, 0.0);
    l.attenuation[""] = {0.0, 0.02, 10};
    return l;
}

// P1 has no pale malt at all and 20 kg to come by; P9, nine days later, holds all there is, which an order replaces.
SubstituteRequest to_be_lent() {
    SubstituteRequest request = short_of_pale();
    LotState all = lot("Q", "pale", 50.0);
    all.promised = all.on_hand;
    request.lots = {all, lot("C", "crystal", 5.0), lot("B", "bitter", 1.0), lot("F", "floral", 1.0)};
    Plan later;
    later.code = "P9";
    later.date = day("2026-03-10");
    later.recipe = "pale ale";
    later.brewhouse = "house";
    later.reserved = {{0, "Q", Amount::of(Kilograms(50.0))}};
    request.others = {{later, {}}};
    Order& order = request.orders.emplace_back();
    order.code = "O1";
    order.arrives = later.date; // on the lender's own day
    OrderLine& line = order.lines.emplace_back();
    line.item = "pale";
    line.pack = Kilograms(25.0);
    line.packs = 1;
    return request;
}

// What P1 is lent of Q; none where it is not.
std::optional<double> lent(const SubstituteRequest& request) {
    const Standing standing = standing_of(request);
    SubstituteAnswer answer;
    answer.kind = AnswerKind::reschedule;
    if (!Lenders(request, standing).fill(standing.brews[0], {}, answer)) return std::nullopt;
    double kg = 0.0;
    for (const Plan& plan : answer.plans)
        for (const Reservation& made : plan.reserved)
            if (plan.code == "P1" && made.lot == "Q") kg += made.amount.kilograms().value();
    return kg;
}

SubstitutionCase case_of(const SubstituteRequest& request) {
    return substitution_case(request, standing_of(request));
}

SubstituteAnswer bought(SubstituteRequest request) {
    request.kinds = {AnswerKind::buy};
    const auto found = substitute(request);
    REQUIRE(found.answers.size() == 1);
    return found.answers[0];
}

Offer sacks(double kg, std::int64_t price) {
    Offer offer;
    offer.supplier = "hill";
    offer.item = "pale";
    offer.lead_days = 3;
    offer.pack = Kilograms(kg);
    offer.price_steps = {{1, Money{price}}};
    return offer;
}

} // namespace

TEST_CASE("what brews taught of a lot counts before what they taught of its item") {
    const auto l = taught("L", 0.02);
    CHECK(learned_share(l, "L", "lager") == near(1.02));
    CHECK(learned_share(l, "X", "L") == near(1.02));
    CHECK(learned_share(l, "X", "lager") == 1.0);
}

TEST_CASE("half of a brew asks for half of its hops") {
    BrewToFill half = pale_ale("P1", "2026-03-01");
    half.volume = Litres(50.0);
    const auto needs = nominal_brew(half, cards()).needs;
    CHECK(needs[0].mass_kg == near(10.0));
    CHECK(needs[2].amount == Amount::of(Grams(50.0)));
}

TEST_CASE("a later brew lends what an order brings back by its day, of a lot that serves and is not on hold") {
    auto request = to_be_lent();
    CHECK(*lent(request) == near(20.0));
    request.lots[0].lot.best_before = day("2026-03-01"); // the borrower's day
    CHECK(lent(request));
    request.lots[0].lot.held = "weevils";
    CHECK_FALSE(lent(request));
    request.lots[0].lot.held.reset();
    request.orders[0].arrives = day("2026-03-11");
    CHECK_FALSE(lent(request));
}

TEST_CASE("of a poorer lot more is lent, to the weigh step") {
    auto request = to_be_lent();
    Certificate& c = request.lots[0].lot.certificate.emplace();
    c.extract = Percent(75.0);
    c.extract_basis = ExtractBasis::fine_dry;
    c.moisture = Percent(4.0);
    CHECK(*lent(request) == near(20.0 * 81.5 / 75.0, 0.0, 0.0051));
}

TEST_CASE("what an order brings back is lent once") {
    const auto request = to_be_lent(); // it brings 25 kg
    const Standing standing = standing_of(request);
    Lenders lenders(request, standing);
    SubstituteAnswer answer;
    answer.kind = AnswerKind::reschedule;
    CHECK(lenders.fill(standing.brews[0], {}, answer));
    SubstituteAnswer again;
    again.kind = AnswerKind::reschedule;
    CHECK_FALSE(lenders.fill(standing.brews[0], {}, again)); // 5 kg are left of it
}

TEST_CASE("a lot costs its price over its kilograms, and a hole is its part of the brew's bitterness") {
    auto request = short_of_pale();
    request.lots[0] = lot("P", "pale", 25.0);
    request.lots[3] = lot("B", "bitter", 0.06); // 60 of 100 g
    const SubstitutionCase c = case_of(request);
    CHECK(c.lots[0].cost_per_kg == near(1.0));
    REQUIRE(c.holes.size() + c.wanting.size() == 1);
    request.lots.push_back(lot("B2", "bitter", 0.0));
    request.items.push_back(hop("strong", 12.0, "resin"));
    request.lots.push_back(lot("S", "strong", 1.0));
    const SubstitutionCase filled = case_of(request);
    REQUIRE(filled.holes.size() == 1);
    CHECK(filled.holes[0].kind == HoleKind::bitterness);
    CHECK(filled.holes[0].share == near(0.4, 1e-6));
}

TEST_CASE("a lot known to give less counts less") {
    auto request = short_of_pale();
    request.brews[0].learned = taught("L", -0.05);
    const SubstitutionCase c = case_of(request);
    REQUIRE(c.holes.size() == 1);
    REQUIRE(c.holes[0].candidates.size() == 1);
    CHECK(c.holes[0].candidates[0].counts == near(0.81 * 0.955 * 0.95));
}

TEST_CASE("a lot may go in from the day it comes to its last good day, unless it is on hold") {
    LotState l = lot("L", "lager", 25.0);
    l.lot.received = day("2026-03-01");
    l.lot.best_before = day("2026-03-05");
    CHECK(may_be_used(l, day("2026-03-01"), false));
    CHECK(may_be_used(l, day("2026-03-05"), false));
    CHECK_FALSE(may_be_used(l, day("2026-02-28"), false));
    CHECK_FALSE(may_be_used(l, day("2026-03-06"), false));
    CHECK(may_be_used(l, day("2026-03-06"), true));
    l.lot.held = "weevils";
    CHECK_FALSE(may_be_used(l, day("2026-03-01"), true));
}

TEST_CASE("a grist that has few enzymes keeps those, and no more is asked of it") {
    GristSums sums;
    sums.add(10.0, 6.0, 50.0);
    CHECK(limits_of(pale_ale("P1", "2026-03-01"), sums, {}).power_floor_wk == near(50.0));
    GristSums rich;
    rich.add(10.0, 6.0, 250.0);
    CHECK(limits_of(pale_ale("P1", "2026-03-01"), rich, {}).power_floor_wk == near(100.0));
}

TEST_CASE("how far malts are apart: three points of extract, half as dark again, or 200 WK too few count one") {
    const Item asked = malt("asked", "base", 81.0, 4.0, 4.0, 200.0);
    CHECK(*apart(asked, malt("other", "base", 78.0, 4.0, 4.0, 200.0)) == near(1.0));
    CHECK(*apart(asked, malt("other", "base", 81.0, 4.0, 7.0, 200.0)) == near(1.0)); // (7 + 2)/(4 + 2)
    CHECK(*apart(asked, malt("other", "base", 81.0, 4.0, 4.0, 0.0)) == near(1.0));
    CHECK(*apart(asked, malt("other", "base", 81.0, 4.0, 4.0, 350.0)) == near(0.0, 0.0, 1e-12)); // more do no harm
    CHECK(apart(asked, malt("other", "base", 73.5, 4.0, 4.0, 200.0)));                           // 2.5 in all
    CHECK_FALSE(apart(asked, malt("other", "base", 73.2, 4.0, 4.0, 200.0)));
}

TEST_CASE("what the brewer named stands nearer than any other, in the order that he gave") {
    const Item asked = malt("asked", "base", 81.0, 4.0, 4.0, 200.0);
    Item other = malt("other", "caramel", 75.0, 5.0, 120.0, 0.0);
    StandIn word;
    word.item = "asked";
    word.preference = 3;
    other.stands_for = {word};
    CHECK(*apart(asked, other) == near(0.3));
}

TEST_CASE("a malt that is named without saying how gladly is let in, behind what is nearer by its figures") {
    const Item asked = malt("asked", "base", 81.0, 4.0, 4.0, 200.0);
    Item wheat = malt("wheat", "wheat", 84.0, 4.0, 4.0, 200.0), smoked = malt("beech", "smoked", 81.0, 4.0, 4.0, 200.0);
    CHECK(*apart(asked, wheat) == near(2.5)); // another grain 1.5, three points of extract 1
    CHECK_FALSE(apart(asked, smoked));
    StandIn word;
    word.item = "asked";
    wheat.stands_for = smoked.stands_for = {word};
    CHECK(*apart(asked, wheat) == near(2.5));
    CHECK(*apart(asked, smoked) == near(5.0));
    CHECK(*apart(asked, malt("darker", "base", 81.0, 4.0, 7.0, 200.0)) == near(1.0));
}

TEST_CASE("enzymes scatter by the malts' masses, each by a tenth of what its card states") {
    // 12 kg that are there and 8 kg that lack, 160 WK each, of 21 kg
    const Effect effect = nearest_recipe(short_of_pale());
    CHECK(effect.diastatic_power_wk.sd == near(std::hypot(12.0 * 16.0, 8.0 * 16.0) / 21.0, 1e-6));
}

TEST_CASE("late hops bring the oil that was known on the day: 1.2 ml in a hundred grams") {
    auto request = short_of_pale();
    request.lots[4].lot.certificate.emplace().oil_ml_per_100g = 1.2;
    Retest later;
    later.on = day("2026-03-05"); // after the brew
    later.found.oil_ml_per_100g = 0.8;
    request.lots[4].lot.retests = {later};
    CHECK(*nearest(request).effect.at("P1").hop_oil_ml == near(1.8)); // 150 g
}

TEST_CASE("a shade is told where it is half an EBC, and an answer costs its kilograms") {
    const auto request = short_of_pale();
    const auto answer = nearest(request);
    const Effect& effect = answer.effect.at("P1");
    const double shade = nearest_recipe(request).colour_ebc.value - effect.colour_ebc.value;
    CHECK(shade > 0.5);
    CHECK(shade < 2.0);
    CHECK(effect.to_notice.starts_with("a shade paler"));
    CHECK(*answer.cost == near(12.0 + taken(answer, "L") + 1.0 + 0.1 + 0.15, 1e-6)); // all at 1.00 a kilogram
}

TEST_CASE("two brews do not share more of a sack than it holds") {
    auto request = short_of_pale();
    request.brews.push_back(pale_ale("P2", "2026-03-02"));
    request.lots = {lot("P", "pale", 24.0), lot("L", "lager", 16.3), lot("C", "crystal", 5.0), lot("B", "bitter", 1.0),
                    lot("F", "floral", 1.0)};
    const auto answer = nearest(request);
    CHECK(taken(answer, "L") <= 16.3);
}

TEST_CASE("bought: free from just the sum, by an offer's last day, at the price of so many") {
    auto request = short_of_pale();
    request.lots.erase(request.lots.begin() + 1);
    request.offers = {sacks(25.0, 3000)};
    request.offers[0].valid_until = request.today;
    Supplier hill;
    hill.name = "hill";
    hill.delivery = Money{1000};
    hill.free_delivery_from = Money{3000};
    request.suppliers = {hill};
    const auto free = bought(request).to_buy.at(0);
    CHECK(free.supplier == "hill");
    CHECK(free.delivery == Money{0});
    request.suppliers[0].free_delivery_from = Money{3001};
    CHECK(bought(request).to_buy.at(0).delivery == Money{1000});
    request.offers = {sacks(4.0, 900)};
    request.offers[0].price_steps.push_back({2, Money{700}});
    CHECK(bought(request).to_buy.at(0).cost == Money{1400}); // two sacks are 8 kg
}

TEST_CASE("of a hop half as bitter a kilogram counts half") {
    PlannedLine line;
    line.stage = Stage::boil;
    line.minutes = Minutes(60.0);
    const Item asked = hop("bitter", 12.0, "resin"), other = hop("mild", 6.0, "resin");
    CHECK(*counts_as(line, asked, other, lot("M", "mild", 1.0).lot, day("2026-03-01")) == near(0.5));
}

TEST_CASE("an order serves the earlier brew first, and the later one by what is left of it") {
    auto request = short_of_pale();
    request.brews.push_back(pale_ale("P2", "2026-03-02"));
    request.kinds = {};
    Order& order = request.orders.emplace_back();
    order.code = "O1";
    order.arrives = day("2026-02-20");
    OrderLine& line = order.lines.emplace_back();
    line.item = "pale";
    line.pack = Kilograms(10.0);
    line.packs = 1;
    const Standing standing = standing_of(request);
    REQUIRE(standing.brews[0].gaps.size() == 1);
    REQUIRE(standing.brews[1].gaps.size() == 1);
    CHECK(standing.brews[0].gaps[0].from_orders == Amount::of(Kilograms(8.0)));
    CHECK(standing.brews[1].gaps[0].from_orders == Amount::of(Kilograms(2.0)));
    CHECK(standing.brews[1].gaps[0].missing == Amount::of(Kilograms(18.0)));
}

TEST_CASE("of what a plan lacks that which is free in the store does not lack") {
    auto request = short_of_pale();
    PlanAsItStands plan;
    plan.kept.code = "P1";
    plan.kept.date = request.brews[0].date;
    plan.kept.recipe = "pale ale";
    plan.kept.brewhouse = "house";
    PlanLack lack;
    lack.plan = "P1";
    lack.date = plan.kept.date;
    lack.line = {0, "pale", Amount::of(Kilograms(20.0)), Amount::of(Kilograms(20.0))};
    lack.free = Amount::of(Kilograms(12.0));
    lack.from_orders = lack.missing = Amount::of(Kilograms(0.0));
    lack.missing = Amount::of(Kilograms(8.0));
    plan.lacks = {lack};
    request.plans = {plan};
    const Standing standing = standing_of(request);
    REQUIRE(standing.brews[0].gaps.size() == 1);
    CHECK(standing.brews[0].gaps[0].missing == Amount::of(Kilograms(8.0)));
}

TEST_CASE("where no lot fills the hole alone, one more weighing is worth a quarter of what the nearest come to") {
    SubstitutionCase c;
    const LotState state = lot("L", "lager", 1.0);
    for (const double kg : {5.0, 6.0}) c.lots.push_back({&state, kg});
    Hole& hole = c.holes.emplace_back();
    hole.target = 8.0;
    hole.share = 1.0;
    for (const std::size_t at : {std::size_t{0}, std::size_t{1}}) {
        Candidate& k = hole.candidates.emplace_back();
        k.lot = at;
        k.counts = 1.0;
        k.distance = 1.0 + static_cast<double>(at);
    }
    set_price_of_takes(c, {});
    CHECK(c.holes[0].per_take == near(0.25 * (5.0 / 8.0 * 1.0 + 3.0 / 8.0 * 2.0)));
}
