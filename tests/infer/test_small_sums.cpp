// The small sums that learning and explaining rest on, by hand.
#include "explain/grist.hpp"
#include "learn/attenuation.hpp"
#include "learn/bitterness.hpp"
#include "learn/fit.hpp"
#include "learn/next.hpp"
#include "learn/poured.hpp"
#include "near.hpp"
#include "reconcile/brew_evidence.hpp"
#include "reconcile/mixture.hpp"
#include "reconcile/slips.hpp"
#include "simulated_brew.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/infer/beer_as_read.hpp>
#include <lotwort/infer/late_extract.hpp>
#include <lotwort/infer/learn.hpp>
#include <lotwort/infer/score.hpp>

using namespace lotwort;
using namespace lotwort::infer_detail;
using namespace lotwort::test;

namespace {

Reading gravity(ReadingPoint point, double sg) {
    Reading r;
    r.id = fmt::format("{}-{}", word(point), sg);
    r.point = point;
    r.gravity_sg = SpecificGravity(sg);
    r.gravity_at = Celsius(20.0);
    return r;
}

// A brew of 1.048 that ended at so much, mashed at so many degrees.
ReconcileInput ended(double sg, std::optional<double> rest_c = std::nullopt) {
    ReconcileInput in = simulate({}).input;
    in.recipe = Recipe{};
    in.recipe->attenuation = Percent(80.0);
    in.recipe->volume = Litres(23.0);
    in.brew.readings = {gravity(ReadingPoint::fermenter, 1.048), gravity(ReadingPoint::final_beer, sg)};
    if (rest_c) {
        Reading mash;
        mash.id = "rest";
        mash.point = ReadingPoint::mash;
        mash.temperature = Celsius(*rest_c);
        in.brew.readings.push_back(mash);
    }
    return in;
}

Learning learned_of(const std::vector<ReconcileInput>& brews, const std::map<std::string, double>& packaged = {}) {
    std::vector<const ReconcileInput*> all;
    for (const auto& brew : brews) all.push_back(&brew);
    Learning out;
    learn_after_the_kettle(all, packaged, out);
    return out;
}

PlannedMalt malt(const char* lot, double kg, double extract_sd) {
    MaltFigures figures;
    figures.extract_as_is = {0.8, extract_sd, Origin::certificate};
    return {lot, Kilograms(kg), figures};
}

} // namespace

TEST_CASE("between two explanations four apart the answer is as wide as both and what lies between them") {
    Mixture m;
    m.add(0.5, 0.0, 1.0);
    m.add(0.5, 4.0, 1.0);
    CHECK(m.mean() == near(2.0));
    CHECK(m.variance() == near(5.0)); // 1, and 2 squared
}

TEST_CASE("one point of the scales foretells as widely as all of them do") {
    stats::ScaleGrid grid;
    grid.mode = {0.0};
    grid.points = {{{std::log(2.0)}, 0.5}, {{-std::log(2.0)}, 0.5}};
    CHECK(at_one_point(grid).points[0].log_scales[0] == near(0.5 * std::log(2.125))); // half of 4 and a quarter
}

TEST_CASE("what the next brew is foretold by: a lot's own scatter, and the level's step to it") {
    Wanted w;
    w.combinations.resize(6);
    w.malts = {"NEW"};
    w.own = {{5, 0.02, true}};
    House house;
    house.name = "main";
    house.brews = 3;
    FittedModel fitted;
    fitted.joint_mean.assign(6, 0.0);
    fitted.joint_covariance.assign(36, 0.0);
    fitted.scale_squares = {1.0, 4.0, 9.0, 1.0}; // of brews, walk, lots, kit
    const Learned next = lotwort::infer_detail::learned_of(w, LearnModel{}, house, fitted);
    CHECK(next.cov(5, 5) == near(0.02 * 0.02 * 9.0));
    CHECK(next.cov(0, 0) == near(0.0012 * 0.0012 * 4.0));
    CHECK(next.cov(1, 1) == near(0.0008 * 0.0008 * 4.0));
}

TEST_CASE("a beer of 75 % where the recipe says 80 teaches its yeast to stop earlier; one half way teaches nothing") {
    const auto learned = learned_of({ended(1.0118), ended(1.0118)}); // 12 to 3 degrees
    REQUIRE(learned.next.attenuation.contains(""));
    CHECK(learned.next.attenuation.at("").difference < -0.02);
    CHECK(learned.next.attenuation.at("").difference > -0.05);
    CHECK(learned_of({ended(1.045)}).next.attenuation.empty());
}

TEST_CASE("beers mashed warmer that stop earlier teach that a degree more takes off") {
    std::vector<ReconcileInput> brews;
    for (int i = 0; i < 3; ++i) {
        brews.push_back(ended(1.0085, 62.0));
        brews.push_back(ended(1.0135, 70.0));
    }
    CHECK(learned_of(brews).next.attenuation_slope_per_c < -0.005);
}

TEST_CASE("what is packaged of the next brew is known by those before, and scatters by itself") {
    const auto learned = learned_of({ended(1.0118)}, {{"B1", 0.93}});
    // 0.95 give or take 0.03, and one brew at 0.02: weights of 1111 and 2500
    CHECK(*learned.next.packaged_share == near((0.95 * 1111.111 + 0.93 * 2500.0) / 3611.111, 1e-6));
    CHECK(learned.next.packaged_share_sd == near(std::sqrt(1.0 / 3611.111 + 0.02 * 0.02), 1e-5));
}

TEST_CASE("liquor added in the fermenter thins the bitterness") {
    const auto foretold = [](double top_up_l) {
        auto brew = simulate({.top_up_l = top_up_l});
        read_everything(brew);
        if (top_up_l > 0.0) {
            Reading r;
            r.id = "top-up";
            r.point = ReadingPoint::top_up;
            r.volume = Litres(top_up_l);
            r.volume_instrument = "liquor marks";
            brew.input.brew.readings.insert(brew.input.brew.readings.begin(), r);
        }
        UsedLot hop;
        hop.item.name = hop.lot.item = "hop";
        hop.item.kind = ItemKind::hop;
        hop.item.alpha = Percent(10.0);
        hop.lot.code = "H1";
        hop.lot.received_amount = Amount::of(Kilograms(1.0));
        brew.input.lots["H1"] = hop;
        Addition& addition = brew.input.brew.additions.emplace_back();
        addition.lot = "H1";
        addition.stage = Stage::boil;
        addition.minutes = Minutes(60.0);
        addition.amount = Amount::of(Grams(30.0));
        return std::pair(foretold_bitterness(brew.input)->value, brew.fermenter_l);
    };
    const auto plain = foretold(0.0), thinned = foretold(3.0);
    CHECK(thinned.first / plain.first == near(1.0 - 3.0 / thinned.second, 1e-3));
}

TEST_CASE("of an instrument's error three tenths are new in each brew: the rest is its lasting one") {
    auto brew = simulate({});
    read_everything(brew);
    const auto poured = poured_or_none(brew.input);
    REQUIRE(poured);
    REQUIRE(poured->came.volume_l);
    CHECK(poured->came.volume_l->bias_sd == near(0.2)); // the fermenter's marks
    CHECK(poured->came.volume_l->read.sd == near(std::sqrt(0.17 * 0.17 + 0.3 * 0.2 * 0.2), 1e-3));
}

TEST_CASE("forecasts' errors are told by the root of their mean square") {
    ForecastScore score;
    for (const double off : {3.0, -4.0}) {
        ForetoldBrew& brew = score.brews.emplace_back();
        brew.volume_l = ForetoldFigure{normal_estimate(20.0 + off, 1.0), 20.0};
    }
    const FigureScore found = score_of(score, &ForetoldBrew::volume_l);
    CHECK(found.mean_error == near(-0.5));
    CHECK(found.rms_error == near(std::sqrt(12.5)));
}

TEST_CASE("one brew says nothing of its instruments that its own balance does not") {
    auto brew = simulate({});
    read_everything(brew);
    LearnRequest request;
    request.brews = {brew.input};
    request.brewhouse = brew.input.brewhouse;
    CHECK(learn(request).instruments.empty());
}

TEST_CASE("a malt's extract errs by its weighing too, and a stand-in's is left open by what the whole does not tell") {
    Grist one;
    one.malts = {malt("A", 5.0, 0.0)};
    one.stands_in = {0};
    one.meant.add(one.malts[0]);
    CHECK(extract_split(one, {}).all_sd_kg == near(0.02)); // half a per cent of 4 kg

    Grist two;
    two.malts = {malt("A", 5.0, 0.02), malt("B", 2.5, 0.04)};
    two.stands_in = {0, 1};
    two.meant.add(two.malts[0]);
    two.stand_in.add(two.malts[1]);
    const double a = 0.02 * 0.02 + 0.1 * 0.1, b = 0.01 * 0.01 + 0.1 * 0.1; // weighing and certificate
    const ExtractSplit split = extract_split(two, {});
    CHECK(split.share == near(b / (a + b)));
    CHECK(split.sd_kg == near(std::sqrt(b - b * b / (a + b))));
}

TEST_CASE(
    "twenty litres taken in American gallons for British ones were twenty-four, and the other way sixteen and a half") {
    BrewEquation e;
    e.kind = "volume";
    e.observed = 20.0;
    const auto slips = possible_slips(e);
    const auto error = [&](const char* what) {
        const auto found = std::ranges::find(slips, what, &Slip::what);
        REQUIRE(found != slips.end());
        return found->error;
    };
    CHECK(error("imperial gallons taken for US gallons") == near(20.0 - 20.0 * 4.54609 / 3.785411784));
    CHECK(error("US gallons taken for imperial gallons") == near(20.0 - 20.0 * 3.785411784 / 4.54609));
}

TEST_CASE(
    "sugar given with dry hops is none of the brewhouse's, and what is told of alcohol is no surer than its rules") {
    auto brew = simulate({});
    read_everything(brew);
    for (Instrument& i : brew.input.instruments)
        if (i.kind == InstrumentKind::hydrometer) i.repeatability = 0.00005, i.bias_sd = 0.00005;
    brew.input.brew.readings.push_back(gravity(ReadingPoint::final_beer, 1.010));
    const BeerAsRead plain = beer_as_read(brew.input);
    CHECK(plain.alcohol_abv_pct->sd == near(0.02 * plain.alcohol_abv_pct->value, 0.05));
    UsedLot sugar;
    sugar.item.name = sugar.lot.item = "cane sugar";
    sugar.item.kind = ItemKind::sugar;
    sugar.lot.code = "S1";
    sugar.lot.received_amount = Amount::of(Kilograms(5.0));
    brew.input.lots["S1"] = sugar;
    Addition& addition = brew.input.brew.additions.emplace_back();
    addition.lot = "S1";
    addition.stage = Stage::dry;
    addition.amount = Amount::of(Kilograms(1.0));
    CHECK(*beer_as_read(brew.input).efficiency == near(*plain.efficiency, 1e-9));
    // given on the day of the last reading it is in that reading
    brew.input.brew.readings.back().on = brew.input.brew.date + std::chrono::days(10);
    brew.input.brew.additions.back().on = brew.input.brew.date + std::chrono::days(10);
    CHECK(given_since_read(brew.input).empty());
    brew.input.brew.additions.back().on = brew.input.brew.date + std::chrono::days(11);
    CHECK(given_since_read(brew.input).size() == 1);
}
