// What a brew is expected to do before it is read, and what other brews and instruments make of that, by hand.
#include "near.hpp"
#include "reconcile/believed.hpp"
#include "reconcile/brew_evidence.hpp"
#include "reconcile/brew_problem.hpp"
#include "reconcile/equations.hpp"
#include "reconcile/joint_balance.hpp"
#include "reconcile/lasting.hpp"
#include "simulated_brew.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::infer_detail;
using namespace lotwort::test;
using Eigen::Index;

namespace {

const BrewEquation& called(const std::vector<BrewEquation>& equations, const std::string& id) {
    const auto found = std::ranges::find(equations, id, &BrewEquation::id);
    REQUIRE(found != equations.end());
    return *found;
}

double expected(const ReconcileInput& in, const std::string& id) {
    return called(brew_model(in).equations, id).observed;
}

ReconcileInput unread(const Truth& truth = {}) {
    auto brew = simulate(truth);
    brew.input.brew.readings.clear();
    return brew.input;
}

void give_hops(ReconcileInput& in, Stage stage) {
    UsedLot hop;
    hop.item.name = hop.lot.item = "hop";
    hop.item.kind = ItemKind::hop;
    hop.lot.code = "H1";
    hop.lot.received_amount = Amount::of(Kilograms(1.0));
    in.lots["H1"] = hop;
    Addition& addition = in.brew.additions.emplace_back();
    addition.lot = "H1";
    addition.stage = stage;
    addition.minutes = Minutes(60.0);
    addition.amount = Amount::of(Grams(100.0));
}

Instrument thermometer() {
    Instrument i;
    i.name = "dial";
    i.kind = InstrumentKind::thermometer;
    i.unit = "c";
    i.repeatability = 0.2;
    i.bias_sd = 0.5;
    return i;
}

} // namespace

TEST_CASE(
    "hops in the kettle are expected to hold six litres a kilogram; those in the fermenter hold none of its wort") {
    ReconcileInput in = unread();
    in.brewhouse.hop_absorption = LitresPerKilogram(6.0);
    CHECK(expected(in, "expect:kettle-loss") == near(1.6));
    auto boiled = in, dry = in;
    give_hops(boiled, Stage::boil);
    give_hops(dry, Stage::dry);
    CHECK(expected(boiled, "expect:kettle-loss") == near(2.2));
    CHECK(expected(dry, "expect:kettle-loss") == near(1.6));
}

TEST_CASE("what the house boils off above its book grows with the boil") {
    ReconcileInput in = unread();
    in.brewhouse.boil_off_level_sd = LitresPerHour(0.2);
    in.brew.boil = Minutes(90.0);
    const BrewModel model = brew_model(in);
    const auto& e = called(model.equations, "expect:boil-off");
    CHECK(e.observed == near(4.65)); // 1.5 h at 3.1 L/h
    CHECK(e.level_sd == near(0.3));
    CHECK(e.own_sd == near(std::sqrt(0.6 * 0.6 - 0.3 * 0.3))); // 0.4 L/h in all
}

TEST_CASE("two mashes share the liquor by their grain") {
    ReconcileInput in = unread({.grist_kg = 6.0});
    Addition second = in.brew.additions[0];
    second.mash = 2;
    second.amount = Amount::of(Kilograms(2.0));
    in.brew.additions.push_back(second);
    const double first_l = expected(in, "expect:strike-liquor") + expected(in, "expect:sparge-liquor");
    const double second_l = expected(in, "expect:strike-liquor-2") + expected(in, "expect:sparge-liquor-2");
    CHECK(first_l / second_l == near(3.0, 1e-6));
}

TEST_CASE("vessels whose hot walls hold more are read as such") {
    auto brew = simulate({});
    brew.read_volume(ReadingPoint::kettle_full, 75.0, "kettle marks");
    brew.read_gravity(ReadingPoint::kettle_full, 20.0);
    Vessel kettle;
    kettle.point = ReadingPoint::kettle_full;
    kettle.wall_expansion_per_c = 1e-3; // gross, so that it shows
    brew.input.brewhouse.vessels = {kettle};
    Reading& read = brew.reading(ReadingPoint::kettle_full);
    read.volume = *read.volume * (1.0 / (1.0 + 1e-3 * 55.0)); // what its marks show
    CHECK(reconcile(brew.input).test.statistic < 1e-6);
}

TEST_CASE("a thermometer that reads high lets hot litres look fewer than they are") {
    auto brew = simulate({});
    brew.read_volume(ReadingPoint::kettle_full, 75.0, "kettle marks");
    brew.read_gravity(ReadingPoint::kettle_full, 20.0);
    brew.input.instruments.push_back(thermometer());
    const BrewModel model = brew_model(brew.input);
    const UnknownsOf unknowns(model);
    const Eigen::VectorXd theta = start_of(model);
    Lasting lasting(brew.input, model.equations);
    lasting.add_thermometer(model, JointBalance(model, unknowns, theta));
    const auto at = std::ranges::find(lasting.instruments, "dial", &BrewInstrument::name) - lasting.instruments.begin();
    REQUIRE(at < std::ssize(lasting.instruments));
    const auto kettle = std::ranges::find(model.equations, "kettle-full-volume", &BrewEquation::id);
    REQUIRE(kettle != model.equations.end());
    // half a degree at 75 C, where water grows by 6.1e-4 a degree
    const double share = lasting.matrix()(kettle - model.equations.begin(), at);
    CHECK(share == near(-6.1e-4 * 0.5 * kettle->observed, 0.1));
}

TEST_CASE("a sample at its stem's own temperature owes nothing to the thermometer") {
    BrewEquation e;
    e.scale = Scale::sg;
    e.calibration_c = 15.6;
    e.at_c = 15.6;
    CHECK_FALSE(is_by_temperature(e));
    e.at_c = 24.0;
    CHECK(is_by_temperature(e));
}

TEST_CASE("a thermometer that other brews know to read half a degree high is believed that much less") {
    auto brew = simulate({});
    brew.read_volume(ReadingPoint::kettle_full, 75.0, "kettle marks");
    brew.input.instruments.push_back(thermometer());
    brew.input.elsewhere = Elsewhere{0, {"dial"}, {1.0}, {0.01}, 5}; // one of its stated sd
    const BrewModel model = brew_model(brew.input);
    const auto equations = believed(brew.input, model.equations);
    CHECK(called(equations, "kettle-full-volume").at_c == near(74.5));
}

TEST_CASE("what others lead to expect: its mean, the tun's loss beside it, and errors that go with the instruments'") {
    auto brew = simulate({});
    brew.read_volume(ReadingPoint::kettle_full, 20.0, "kettle marks");
    Elsewhere taught;
    taught.figures = Elsewhere::brew_figures;
    taught.instruments = {"kettle marks"};
    taught.mean = {std::log(0.9), 0.0, 3.3, 1.2, 1.7, 0.0, 0.0};
    taught.covariance.assign(49, 0.0);
    for (std::size_t i = 0; i < 7; ++i) taught.covariance[i * 8] = i == 2 ? 0.04 : i == 6 ? 0.5 : 1e-4;
    taught.covariance[2 * 7 + 6] = taught.covariance[6 * 7 + 2] = 0.06; // boil-off and the marks' lasting error
    brew.input.elsewhere = taught;
    const BrewModel model = brew_model(brew.input);
    const auto equations = believed(brew.input, model.equations);
    const auto& boil_off = called(equations, "expect:boil-off");
    CHECK(boil_off.observed == near(1.25 * 3.3)); // 75 minutes
    CHECK(called(equations, "expect:absorption").observed == near(4.6 * 1.2 + 0.8));
    // Where the brew boils off more, what was expected of it is too little: the error is less that. The marks err by
    // 0.25 L for each of their sd.
    CHECK(shared_covariance(boil_off, called(equations, "kettle-full-volume")) == near(-1.25 * 0.25 * 0.06, 1e-6));
    CHECK(boil_off.sd() == near(1.25 * 0.2));
}

TEST_CASE("liquor that is left out is expected as widely as what stands in for it") {
    const auto brew = simulate({});
    const BrewModel model = brew_model(brew.input);
    const UnknownsOf unknowns(model);
    const auto whole = problem_of(model, unknowns);
    const auto at = std::ranges::find(model.equations, infer_detail::Quantity::strike_liquor, &BrewEquation::quantity);
    REQUIRE(at != model.equations.end());
    const auto i = static_cast<std::size_t>(at - model.equations.begin());
    const BrewEquation* instead = stand_in_for(model, i);
    REQUIRE(instead != nullptr);
    CHECK(instead->sd() == near(0.5 * 4.6)); // half a litre a kilogram
    const auto others = problem_without(whole, model, unknowns, i, start_of(model));
    const auto k = static_cast<Index>(i);
    CHECK(others.covariance(k, k) == near(instead->sd() * instead->sd(), 1e-9));
}

TEST_CASE("what a laboratory found of the malt since is the malt's merit, by the moisture it was weighed at") {
    auto brew = simulate({});
    read_everything(brew);
    const Date later = brew.input.brew.date + std::chrono::days(30);
    const auto as_booked = evidence_of(brew.input, later);
    Retest retest;
    retest.on = later;
    retest.found.moisture = Percent(9.0); // it drew damp since
    retest.found.moisture_sd = Percent(0.2);
    brew.input.lots.at("malt").lot.retests = {retest};
    CHECK(evidence_of(brew.input, later).retested == near(0.0, 0.0, 1e-9));
    brew.input.lots.at("malt").lot.retests[0].found = Certificate{};
    brew.input.lots.at("malt").lot.retests[0].found.extract = Percent(81.5 * 1.02);
    const auto found = evidence_of(brew.input, later);
    CHECK(found.retested == near(std::log(1.02), 1e-6));
    CHECK(found.at[0] - as_booked.at[0] == near(-std::log(1.02), 1e-4));
}

TEST_CASE("a corrected instrument is told what it should have shown, correction and all") {
    auto brew = simulate({});
    read_everything(brew);
    for (Instrument& i : brew.input.instruments)
        if (i.kind == InstrumentKind::hydrometer) i.correction = 0.003;
    for (Reading& r : brew.input.brew.readings)
        if (r.gravity_sg) r.gravity_sg = *r.gravity_sg + GravityDifference(-0.003);
    const auto r = reconcile(brew.input);
    int stems = 0;
    for (const ReconciledEquation& e : r.readings)
        if (e.kind == "gravity") CHECK(e.reconciled == near(e.read, 1e-6)), ++stems;
    CHECK(stems > 2);
}

TEST_CASE("how far a reading is out is known no better than it and the others are") {
    auto brew = simulate({});
    read_everything(brew);
    Reading& kettle = brew.reading(ReadingPoint::kettle_full);
    kettle.volume = *kettle.volume + Litres(3.0);
    const auto r = reconcile(brew.input);
    REQUIRE(!r.suspects.empty());
    const auto read = std::ranges::find_if(r.readings, [&](const ReconciledEquation& e) {
        return e.id == r.suspects[0].reading && e.kind == r.suspects[0].kind;
    });
    REQUIRE(read != r.readings.end());
    CHECK(r.suspects[0].likely_error == near(3.0, 0.15));
    CHECK(r.suspects[0].likely_error_sd > 1.1 * read->sd);
}
