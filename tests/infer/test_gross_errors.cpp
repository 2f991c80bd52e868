// Gross slips: whatever is typed, the answer stays a brew, and the reading that was wrong is the one named.
#include "simulated_brew.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <functional>
#include <string>

using namespace lotwort;
using namespace lotwort::test;

namespace {

struct Slip {
    const char* what;
    const char* reading;
    std::function<void(Reading&)> make;
};

std::function<void(Reading&)> litres(double value) {
    return [value](Reading& r) { r.volume = Litres(value); };
}
std::function<void(Reading&)> gravity(double value) {
    return [value](Reading& r) { r.gravity_sg = SpecificGravity(value); };
}

const std::vector<Slip> slips{
    {"sparge 40 L", "sparge-liquor", litres(40.0)},
    {"sparge 60 L", "sparge-liquor", litres(60.0)},
    {"sparge 100 L", "sparge-liquor", litres(100.0)},
    {"sparge 1.75 L", "sparge-liquor", litres(1.75)},
    {"strike 3 L", "strike-liquor", litres(3.0)},
    {"strike 1.42 L", "strike-liquor", litres(1.42)},
    {"strike 40 L", "strike-liquor", litres(40.0)},
    {"strike 142 L", "strike-liquor", litres(142.0)},
    {"first wort 1.130", "first-wort-gravity", gravity(1.130)},
    {"first wort 1.150", "first-wort-gravity", gravity(1.150)},
    {"first wort 1.199", "first-wort-gravity", gravity(1.199)},
    {"first wort 1.007", "first-wort-gravity", gravity(1.007)},
    {"kettle 290 L", "kettle-full-volume", litres(290.0)},
    {"kettle 2.9 L", "kettle-full-volume", litres(2.9)},
    {"kettle gravity 1.140", "kettle-full-gravity", gravity(1.140)},
    {"cast-out 265 L", "cast-out-volume", litres(265.0)},
    {"fermenter 2.3 L", "fermenter-volume", litres(2.3)},
    {"fermenter 230 L", "fermenter-volume", litres(230.0)},
    {"fermenter 1.150", "fermenter-gravity", gravity(1.150)},
};

} // namespace

TEST_CASE("a gross slip is named, and leaving it out gives back the brew") {
    for (const auto& slip : slips) {
        CAPTURE(std::string(slip.what));
        auto brew = simulate({});
        read_everything(brew);
        for (auto& r : brew.input.brew.readings)
            if (r.id == slip.reading) slip.make(r);
        const auto answer = reconcile(brew.input);
        for (const auto& remark : answer.remarks) INFO(remark);
        CHECK_FALSE(answer.test.passed);
        if (const auto& e = answer.efficiencies.brewhouse; e.estimate) {
            CHECK(e.estimate->value > 0.0);
            CHECK(e.estimate->value < 1.0 + 1e-6);
        }
        REQUIRE(!answer.suspects.empty());
        const auto& first = answer.suspects.front();
        CHECK(first.reading == slip.reading);
        REQUIRE(first.efficiencies_without.brewhouse.estimate);
        CHECK(std::abs(first.efficiencies_without.brewhouse.estimate->value - brew.brewhouse) < 1e-3);
        CHECK(first.test_without.passed);
        CHECK(std::abs(first.likely_error) < 1000.0);
    }
}
