#include "near.hpp"
#include "simulated_brew.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/density.hpp>
#include <set>

using namespace lotwort;
using namespace lotwort::test;

namespace {

std::vector<Truth> four_brewhouses() {
    Truth none{.sparge = Sparge::none, .wash_stages = 1.0, .strike_l = 31.5, .sparge_l = 0.0};
    Truth batch{};
    Truth twice{.sparge = Sparge::batch, .wash_stages = 3.0, .conversion = 0.88, .lauter_of_expected = 1.01};
    Truth continuous{
        .sparge = Sparge::continuous, .wash_stages = 2.6, .grist_kg = 5.9, .strike_l = 17.0, .sparge_l = 18.0};
    return {none, batch, twice, continuous};
}

double quantity(const Reconciliation& r, const std::string& name) {
    for (const auto& [n, e] : r.quantities)
        if (n == name) return e.estimate.value().value;
    throw std::runtime_error("no quantity " + name);
}

} // namespace

TEST_CASE("a brew whose readings are exact gives back the true efficiencies to 1e-6") {
    for (const Truth& truth : four_brewhouses()) {
        auto brew = simulate(truth);
        read_everything(brew);
        const auto r = reconcile(brew.input);
        CAPTURE(word(truth.sparge));
        CHECK(std::abs(r.efficiencies.conversion.estimate->value - brew.conversion) < 1e-6);
        CHECK(std::abs(r.efficiencies.lauter.estimate->value - brew.lauter) < 1e-6);
        CHECK(std::abs(r.efficiencies.kettle_yield.estimate->value - brew.kettle_yield) < 1e-6);
        CHECK(std::abs(r.efficiencies.transfer.estimate->value - brew.transfer) < 1e-6);
        CHECK(std::abs(r.efficiencies.brewhouse.estimate->value - brew.brewhouse) < 1e-6);
        CHECK(std::abs(quantity(r, "fermenter_l") - brew.fermenter_l) < 1e-5);
        CHECK(std::abs(quantity(r, "strike_liquor_l") - truth.strike_l) < 1e-5);
        CHECK(r.test.statistic < 1e-8);
        CHECK(r.test.passed);
        // 9 readings (8 without sparge) and 7 expectations (8 without sparge) on 9 unknowns
        CHECK(r.test.degrees_of_freedom == 7);
        CHECK(r.suspects.empty());
    }
}

TEST_CASE("sugar in the kettle is neither the mash's nor the lauter's credit") {
    auto brew = simulate({.sugar_kg = 0.5});
    read_everything(brew);
    const auto r = reconcile(brew.input);
    CHECK(std::abs(r.efficiencies.brewhouse.estimate->value - brew.brewhouse) < 1e-6);
    CHECK(std::abs(r.efficiencies.transfer.estimate->value - brew.transfer) < 1e-6);
    CHECK(std::abs(quantity(r, "extract_cast_out_kg") - quantity(r, "extract_kettle_kg") - 0.5) < 1e-9);
}

TEST_CASE("liquor run into the kettle is no wash of the grain") {
    auto brew = simulate({.sparge_l = 14.0, .kettle_liquor_l = 3.5});
    read_everything(brew);
    const auto r = reconcile(brew.input);
    CHECK(std::abs(r.efficiencies.lauter.estimate->value - brew.lauter) < 1e-6);
    CHECK(std::abs(r.efficiencies.brewhouse.estimate->value - brew.brewhouse) < 1e-6);
    CHECK(std::abs(quantity(r, "kettle_liquor_l") - 3.5) < 1e-5);
}

TEST_CASE("the mash's own volume and the runnings one by one fit the same balance") {
    auto brew = simulate({});
    read_everything(brew);
    const auto add = [&](ReadingPoint point, int run, double litres, double w) {
        Reading r;
        r.id = fmt::format("{}-{}", word(point), run);
        r.point = point;
        r.run = run;
        if (litres > 0.0) r.volume = Litres(litres);
        if (w > 0.0) {
            r.gravity_plato = Plato(100.0 * w); // by density meter, at 20 C
            r.gravity_instrument = "density meter";
        }
        brew.input.brew.readings.push_back(r);
    };
    Instrument meter;
    meter.name = "density meter";
    meter.kind = InstrumentKind::density_meter;
    meter.unit = "plato";
    meter.repeatability = 0.02;
    brew.input.instruments.push_back(meter);
    add(ReadingPoint::mash, 1, brew.mash_l, 0.0);
    add(ReadingPoint::first_wort, 1, brew.first_wort_l, brew.first_wort_w);
    add(ReadingPoint::first_wort, 2, brew.washings_l, brew.last_runnings_w);
    const auto r = reconcile(brew.input);
    CHECK(std::abs(r.efficiencies.lauter.estimate->value - brew.lauter) < 1e-6);
    CHECK(r.test.statistic < 1e-8);
    CHECK(r.test.degrees_of_freedom == 12); // five more readings than without them
}

TEST_CASE("weights for volumes, and a refractometer with its wort factor") {
    auto brew = simulate({});
    Instrument refractometer;
    refractometer.name = "refractometer";
    refractometer.kind = InstrumentKind::refractometer;
    refractometer.unit = "brix";
    refractometer.repeatability = 0.1;
    refractometer.brix_to_plato = 0.96;
    brew.input.instruments.push_back(refractometer);
    Reading r;
    r.id = "weighed";
    r.point = ReadingPoint::fermenter;
    r.mass = Kilograms(brew.fermenter_l * wort::sucrose_density_kg_m3(brew.fermenter_w, 20.0) / 1000.0);
    r.volume_instrument = "malt scale";
    r.brix = Brix(100.0 * brew.fermenter_w / 0.96);
    r.gravity_instrument = "refractometer";
    brew.input.brew.readings.push_back(r);
    const auto answer = reconcile(brew.input);
    CHECK(std::abs(answer.efficiencies.brewhouse.estimate->value - brew.brewhouse) < 1e-6);
    CHECK(answer.readings_used == 4);
}

TEST_CASE("a vessel read by dip stick") {
    auto brew = simulate({});
    Vessel fermenter;
    fermenter.point = ReadingPoint::fermenter;
    fermenter.dip_table = {{Centimetres(10.0), Litres(5.0)}, {Centimetres(60.0), Litres(30.0)}};
    brew.input.brewhouse.vessels.push_back(fermenter);
    Reading r;
    r.id = "dip";
    r.point = ReadingPoint::fermenter;
    r.depth = Centimetres(10.0 + (brew.fermenter_l - 5.0) * 2.0);
    brew.input.brew.readings.push_back(r);
    brew.read_gravity(ReadingPoint::fermenter, 20.0);
    CHECK(std::abs(reconcile(brew.input).efficiencies.brewhouse.estimate->value - brew.brewhouse) < 1e-6);
    brew.input.brew.readings[2].depth = Centimetres(75.0);
    const auto answer = reconcile(brew.input);
    REQUIRE(answer.suspects.size() == 1);
    CHECK(answer.suspects.front().reading == "dip");
    CHECK(answer.suspects.front().impossible == "75 cm lies outside the vessel's dip table");
    CHECK(answer.readings_used == 3); // the gravity and the liquor speak all the same
}

TEST_CASE("a stick's centimetres are uncertain by as many litres whether one writes the depth or the litres") {
    const auto sd_of = [](bool as_depth) {
        auto brew = simulate({});
        Vessel fermenter;
        fermenter.point = ReadingPoint::fermenter;
        fermenter.dip_table = {{Centimetres(10.0), Litres(5.0)}, {Centimetres(60.0), Litres(105.0)}}; // 2 L a cm
        fermenter.volume_instrument = "stick";
        brew.input.brewhouse.vessels = {fermenter};
        Instrument stick;
        stick.name = "stick";
        stick.kind = InstrumentKind::volume_marks;
        stick.unit = "cm";
        stick.repeatability = 0.3;
        stick.bias_sd = 0.4;
        brew.input.instruments.push_back(stick);
        brew.input.brew.readings.clear();
        Reading r;
        r.id = "dip";
        r.point = ReadingPoint::fermenter;
        if (as_depth)
            r.depth = Centimetres(10.0 + (brew.fermenter_l - 5.0) / 2.0);
        else
            r.volume = Litres(brew.fermenter_l);
        brew.input.brew.readings.push_back(r);
        const auto answer = reconcile(brew.input);
        for (const auto& [name, quantity] : answer.quantities)
            if (name == "fermenter_l") return quantity.estimate->sd;
        return 0.0;
    };
    CHECK(sd_of(true) > 0.5); // 0.5 cm of 2 L each, pulled in by what is expected
    CHECK(sd_of(false) == near(sd_of(true), 1e-9));
}

TEST_CASE("two readings are enough for an answer with an honest width") {
    auto brew = simulate({});
    brew.input.brew.readings.clear();
    brew.read_volume(ReadingPoint::fermenter, 20.0, "fermenter marks");
    brew.read_gravity(ReadingPoint::fermenter, 20.0);
    const auto few = reconcile(brew.input);
    REQUIRE(few.efficiencies.brewhouse.estimate);
    CHECK(few.readings_used == 2);
    CHECK(std::abs(few.efficiencies.brewhouse.estimate->value - brew.brewhouse) <
          2.0 * few.efficiencies.brewhouse.estimate->sd);

    auto full = simulate({});
    read_everything(full);
    const auto many = reconcile(full.input);
    // the lauter is known far worse from two readings in the fermenter than from nine along the way
    CHECK(few.efficiencies.lauter.estimate->sd > many.efficiencies.lauter.estimate->sd);
    CHECK(few.efficiencies.brewhouse.estimate->sd > many.efficiencies.brewhouse.estimate->sd);
}

TEST_CASE("without readings the answer is the forecast's and says so") {
    auto brew = simulate({});
    brew.input.brew.readings.clear();
    const auto r = reconcile(brew.input);
    CHECK(r.readings_used == 0);
    CHECK(r.test.degrees_of_freedom == 0);
    CHECK(r.test.statistic == 0.0);
    CHECK_FALSE(r.test.p_value);
    CHECK(r.test.passed);
    CHECK(r.efficiencies.conversion.estimate->value == near(0.93, 1e-6));
    CHECK(r.remarks.front() == "nothing has been read yet: these figures are the forecast's");
    for (const auto& equation : r.readings) {
        CHECK(equation.is_expectation);
        CHECK_FALSE(equation.standardised_residual); // nothing else speaks of any of them
    }
}

TEST_CASE("a brew without malt has no efficiencies, and each says why") {
    auto brew = simulate({});
    brew.input.brew.additions.clear();
    const auto r = reconcile(brew.input);
    CHECK_FALSE(r.efficiencies.brewhouse.estimate);
    CHECK(r.efficiencies.brewhouse.reason == "no malt has been deducted for this brew");
}

TEST_CASE("a kettle volume read 2.5 L high is named, with its size") {
    auto brew = simulate({});
    read_everything(brew);
    for (auto& reading : brew.input.brew.readings)
        if (reading.id == "kettle-full-volume") reading.volume = *reading.volume + Litres(2.5);
    const auto r = reconcile(brew.input);
    CHECK_FALSE(r.test.passed);
    REQUIRE(!r.suspects.empty());
    const auto& suspect = r.suspects.front();
    CHECK(suspect.reading == "kettle-full-volume");
    CHECK(suspect.unit == "l");
    CHECK(std::abs(suspect.likely_error - 2.5) < 1e-2); // all else is exact, so its estimate is too
    CHECK(suspect.test_without.passed);
    CHECK(std::abs(suspect.efficiencies_without.brewhouse.estimate->value - brew.brewhouse) < 1e-4);
}

TEST_CASE("a digit slip in the kettle's gravity is named") {
    auto brew = simulate({});
    read_everything(brew);
    for (auto& reading : brew.input.brew.readings)
        if (reading.id == "kettle-full-gravity") reading.gravity_sg = *reading.gravity_sg + GravityDifference(0.009);
    const auto r = reconcile(brew.input);
    REQUIRE(!r.suspects.empty());
    CHECK(r.suspects.front().reading == "kettle-full-gravity");
    CHECK(r.suspects.front().likely_error == near(0.009, 0.02));
}

TEST_CASE("liquor added in the fermenter and not written down can be named") {
    auto brew = simulate({.top_up_l = 2.0});
    read_everything(brew);
    const auto r = reconcile(brew.input);
    CHECK_FALSE(r.test.passed);
    const bool named = std::ranges::any_of(r.suspects, [](const Suspect& s) {
        return s.reading == "expect:top-up" || std::ranges::any_of(s.cannot_be_told_from, [](const std::string& id) {
                   return id.starts_with("expect:top-up");
               });
    });
    CHECK(named);
}

TEST_CASE("a reading set aside takes no part, whatever it says") {
    auto brew = simulate({});
    read_everything(brew);
    const auto before = reconcile(brew.input);
    Reading wrong;
    wrong.id = "slip";
    wrong.point = ReadingPoint::kettle_full;
    wrong.gravity_sg = SpecificGravity(1.12);
    wrong.gravity_instrument = "hydrometer";
    wrong.set_aside = "read off the wrong scale";
    brew.input.brew.readings.push_back(wrong);
    const auto after = reconcile(brew.input);
    CHECK(after.efficiencies.brewhouse.estimate->value == before.efficiencies.brewhouse.estimate->value);
    CHECK(after.test.degrees_of_freedom == before.test.degrees_of_freedom);
}

TEST_CASE("a final gravity that no beer has takes no part, and is named with the reason") {
    auto brew = simulate({});
    read_everything(brew);
    const auto before = reconcile(brew.input);
    Instrument off;
    off.name = "gun";
    off.kind = InstrumentKind::hydrometer;
    off.correction = -3160.6;
    brew.input.instruments.push_back(off);
    Reading beer;
    beer.id = "beer";
    beer.point = ReadingPoint::final_beer;
    beer.gravity_sg = SpecificGravity(1.010);
    beer.gravity_instrument = "gun";
    brew.input.brew.readings.push_back(beer);
    const auto after = reconcile(brew.input);
    CHECK(after.efficiencies.brewhouse.estimate->value == before.efficiencies.brewhouse.estimate->value);
    REQUIRE(!after.suspects.empty());
    CHECK(after.suspects.front().reading == "beer");
    CHECK(after.suspects.front().impossible.starts_with("no wort has the density"));
}

TEST_CASE("readings by one instrument share its bias: a biased hydrometer is not averaged away") {
    const auto sd_of_brewhouse = [](double bias, double own) {
        auto brew = simulate({});
        read_everything(brew);
        for (auto& i : brew.input.instruments)
            if (i.kind == InstrumentKind::hydrometer) {
                i.bias_sd = bias;
                i.repeatability = own;
            }
        return reconcile(brew.input).efficiencies.brewhouse.estimate->sd;
    };
    // the same error per reading, as a shared bias or as independent scatter
    CHECK(sd_of_brewhouse(0.002, 0.0002) > 1.1 * sd_of_brewhouse(0.0002, 0.002));
}

TEST_CASE("the reading to take next is one that was not taken, and lowers the sd it promises to lower") {
    auto brew = simulate({});
    brew.read_volume(ReadingPoint::fermenter, 20.0, "fermenter marks");
    brew.read_gravity(ReadingPoint::fermenter, 20.0);
    const auto before = reconcile(brew.input, "lauter");
    REQUIRE(!before.measure_next.empty());
    const auto& next = before.measure_next.front();
    CHECK(next.about == "lauter");
    CHECK(next.sd_now == near(before.efficiencies.lauter.estimate->sd));
    for (const auto& taken : brew.input.brew.readings)
        CHECK_FALSE((next.kind == "volume" && word(taken.point) == next.point && taken.volume));

    // take it, exactly: the sd falls to what was promised, up to curvature
    const auto point = from_word<ReadingPoint>(next.point).value();
    if (next.kind == "gravity")
        brew.read_gravity(point, 20.0);
    else
        brew.read_volume(point, 20.0, "kettle marks");
    const auto after = reconcile(brew.input, "lauter");
    CHECK(after.efficiencies.lauter.estimate->sd == near(next.sd_then, 0.1));
}

TEST_CASE("any subset of the readings is answered") {
    auto brew = simulate({});
    read_everything(brew);
    brew.read_gravity(ReadingPoint::last_runnings, 20.0);
    const auto all = brew.input.brew.readings;
    REQUIRE(all.size() == 10);
    for (unsigned pattern = 0; pattern < (1U << all.size()); ++pattern) {
        brew.input.brew.readings.clear();
        for (std::size_t i = 0; i < all.size(); ++i)
            if ((pattern >> i) & 1U) brew.input.brew.readings.push_back(all[i]);
        const auto r = reconcile(brew.input);
        CAPTURE(pattern);
        REQUIRE(r.efficiencies.brewhouse.estimate);
        const auto& e = *r.efficiencies.brewhouse.estimate;
        // all that was read is exact, so the truth lies well inside every interval
        CHECK(std::abs(e.value - brew.brewhouse) < 2.0 * e.sd);
        CHECK(e.sd < 0.08);
        CHECK(r.test.passed);
    }
}

TEST_CASE("asking about something that is no efficiency shows what may be asked") {
    auto brew = simulate({});
    CHECK_THROWS_AS((void)reconcile(brew.input, "colour"), Error);
}
