// An instrument held against something known: a sugar solution, weighed water, melting ice.
#include "near.hpp"
#include "simulated_house.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/infer/learn.hpp>
#include <lotwort/infer/reconcile.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// Its true error is 0.002 too high in every brew; nothing else lasts.
SimulatedHouse house_of(unsigned seed, int brews) {
    HouseWish wish = read_whole(seed, brews);
    for (const char* marks : {"liquor marks", "kettle marks", "fermenter marks", "malt scale"})
        wish.offsets[marks] = 0.0;
    wish.offsets["hydrometer"] = 0.002;
    return SimulatedHouse(wish);
}

Instrument& hydrometer_of(ReconcileInput& in) {
    return *std::ranges::find(in.instruments, "hydrometer", &Instrument::name);
}

double original_gravity(const Reconciliation& r) {
    for (const auto& [name, found] : r.quantities)
        if (name == "original_gravity_sg") return found.estimate->value;
    return 0.0;
}

const LearnedInstrument& hydrometer_of(const Learning& learned) {
    return *std::ranges::find(learned.instruments, "hydrometer", &LearnedInstrument::name);
}

} // namespace

TEST_CASE("a check that leaves nothing open is a correction, and what is new in every brew is left") {
    auto house = house_of(1, 1);
    ReconcileInput checked = house.request.brews[0], corrected = checked;
    auto& hydrometer = hydrometer_of(checked);
    // an exact solution read a thousand times: the mean is read to a thousandth of one reading's error
    for (int i = 0; i < 1000; ++i) hydrometer.checks.push_back({{}, 1.04, 0.0, 1.042});
    hydrometer_of(corrected).correction = -0.002;
    *hydrometer_of(corrected).bias_sd *= std::sqrt(0.3); // seven tenths of its variance lasts
    const auto by_check = reconcile(checked), by_correction = reconcile(corrected);
    CHECK(original_gravity(by_check) == near(original_gravity(by_correction), 0.0, 2e-6));
    CHECK(by_check.efficiencies.brewhouse.estimate->value == near(by_correction.efficiencies.brewhouse.estimate->value, 1e-4));
    CHECK(by_check.efficiencies.brewhouse.estimate->sd == near(by_correction.efficiencies.brewhouse.estimate->sd, 1e-3));
    CHECK(original_gravity(by_check) < original_gravity(reconcile(house.request.brews[0])) - 0.001);
    // readings are shown as they were read
    for (std::size_t i = 0; i < by_check.readings.size(); ++i)
        CHECK(by_check.readings[i].read == near(reconcile(house.request.brews[0]).readings[i].read));
}

TEST_CASE("a check counts beside what other brews taught, where they were read with another instrument") {
    auto house = house_of(3, 1);
    ReconcileInput by_itself = house.request.brews[0];
    hydrometer_of(by_itself).checks.push_back({{}, 1.04, 0.0, 1.042});
    ReconcileInput among = by_itself;
    among.elsewhere = Elsewhere{0, {"another hydrometer"}, {0.5}, {0.1}, 4};
    CHECK(original_gravity(reconcile(among)) == near(original_gravity(reconcile(by_itself)), 0.0, 1e-9));
}

TEST_CASE("one check moves a brew by what it is worth beside what is stated") {
    auto house = house_of(2, 1);
    ReconcileInput in = house.request.brews[0], corrected = in;
    Instrument& hydrometer = hydrometer_of(in);
    hydrometer.checks = {{{}, 1.04, 0.0003, 1.042}};
    // by hand: N(0, 0.7 x 0.001^2) met by 0.002 +- sqrt(0.0004^2 + 0.0003^2) = 0.0005
    const double prior = 0.7e-6, read = 0.25e-6, mean = 0.002 * prior / (prior + read);
    hydrometer_of(corrected).correction = -mean;
    hydrometer_of(corrected).bias_sd = std::sqrt(prior * read / (prior + read) + 0.3e-6);
    CHECK(original_gravity(reconcile(in)) == near(original_gravity(reconcile(corrected)), 0.0, 1e-7));
}

TEST_CASE("a hydrometer 0.002 high is told once a sugar solution shows it, and its correction is offered") {
    int told = 0, held = 0;
    for (unsigned seed = 10; seed < 30; ++seed) {
        auto house = house_of(seed, 8);
        for (auto& brew : house.request.brews)
            hydrometer_of(brew).checks = {{{}, 1.04, 0.0002, 1.042}, {{}, 1.0, 0.00004, 1.002}};
        const auto learned = learn(house.request);
        const auto& found = hydrometer_of(learned);
        told += found.is_told;
        held += found.offset.low <= 0.002 && 0.002 <= found.offset.high;
        CHECK(found.checks == 2);
        if (found.is_told) CHECK(*found.correction == near(-found.offset.value));
    }
    CHECK(told >= 19);
    CHECK(held >= 15); // of 20 intervals of 90 %
}

TEST_CASE("a check after a correction was entered finds nothing more") {
    auto house = house_of(3, 8);
    for (auto& brew : house.request.brews) {
        auto& hydrometer = hydrometer_of(brew);
        hydrometer.correction = -0.002;
        hydrometer.checks = {{{}, 1.04, 0.0002, 1.042}, {{}, 1.0, 0.00004, 1.002}};
    }
    const auto learned = learn(house.request);
    CHECK_FALSE(hydrometer_of(learned).is_told);
    CHECK(std::abs(hydrometer_of(learned).offset.value) < 0.0005);
}
