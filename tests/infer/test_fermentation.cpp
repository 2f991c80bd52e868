// A fermentation by its readings: how far, whether it has stopped, and what is said before anything is sealed.
#include "near.hpp"
#include "simulated_brew.hpp"
#include <doctest/doctest.h>
#include <lotwort/infer/fermentation.hpp>
#include <lotwort/wort/gravity.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

ReconcileInput brew_of_1048() {
    ReconcileInput input = simulate({}).input;
    input.brew.readings.clear();
    Reading original;
    original.id = "og";
    original.point = ReadingPoint::fermenter;
    original.gravity_sg = SpecificGravity(1.048);
    input.brew.readings.push_back(original);
    Recipe recipe;
    recipe.name = "ale";
    recipe.attenuation = Percent(76.0);
    input.recipe = recipe;
    return input;
}

void read(ReconcileInput& input, int day, std::optional<double> sg, ReadingPoint point = ReadingPoint::fermenting) {
    Reading r;
    r.id = "f" + std::to_string(input.brew.readings.size());
    r.point = point;
    r.on = input.brew.date + std::chrono::days(day);
    if (sg) r.gravity_sg = SpecificGravity(*sg);
    if (!sg) r.temperature = Celsius(19.5);
    input.brew.readings.push_back(r);
}

} // namespace

TEST_CASE("a beer on its way: the days in order, the attenuation of each, and that it still moves") {
    auto input = brew_of_1048();
    read(input, 5, 1.014);
    read(input, 2, 1.030);
    read(input, 3, std::nullopt);
    const auto f = fermentation_of(input);
    REQUIRE(f.days.size() == 4);
    CHECK(f.days[0].on == input.brew.date);
    CHECK(f.days[0].attenuation_pct == 0.0);
    CHECK(*f.days[1].gravity_sg == near(1.030, 1e-6));
    CHECK(f.days[2].temperature == Celsius(19.5));
    // 1 - 3.568/11.911: the extracts of 1.014 and 1.048
    CHECK(*f.days[3].attenuation_pct == near(70.0, 0.005));
    CHECK(f.state == Fermenting::goes_on);
    CHECK(f.says.find("bursts bottles") != std::string::npos);
}

TEST_CASE("the same mark two days apart says that it has stopped; a day apart does not, nor one reading") {
    auto input = brew_of_1048();
    read(input, 8, 1.011);
    CHECK(fermentation_of(input).state == Fermenting::cannot_tell);
    read(input, 9, 1.011);
    CHECK(fermentation_of(input).state == Fermenting::cannot_tell);
    read(input, 10, 1.011, ReadingPoint::final_beer);
    const auto f = fermentation_of(input);
    CHECK(f.state == Fermenting::has_stopped);
    CHECK(f.says.find("it has stopped") != std::string::npos);
    CHECK(f.says.find("stuck") == std::string::npos);
}

TEST_CASE("the same mark read again on the day after a fall does not unsay that the beer moves") {
    auto input = brew_of_1048();
    read(input, 8, 1.020);
    read(input, 9, 1.012);
    read(input, 9, 1.012, ReadingPoint::final_beer);
    CHECK(fermentation_of(input).state == Fermenting::goes_on);
    read(input, 10, 1.012);
    CHECK(fermentation_of(input).state == Fermenting::cannot_tell); // the fall is two days back, the mark a day old
    read(input, 11, 1.012);
    CHECK(fermentation_of(input).state == Fermenting::has_stopped);
}

TEST_CASE("what moved between two equal marks has not stopped") {
    auto input = brew_of_1048();
    read(input, 8, 1.012);
    read(input, 9, 1.014); // a slip, or krausen stirred in
    read(input, 10, 1.012);
    CHECK(fermentation_of(input).state == Fermenting::goes_on);
}

TEST_CASE("one that stands far above what the recipe expects may be stuck") {
    auto input = brew_of_1048();
    read(input, 8, 1.020);
    read(input, 11, 1.020);
    const auto f = fermentation_of(input);
    CHECK(f.state == Fermenting::has_stopped);
    CHECK(f.says.find("may be stuck") != std::string::npos);
}

TEST_CASE("a refractometer in beer is taken through the original gravity") {
    auto input = brew_of_1048();
    read(input, 8, 1.011);
    input.brew.readings.back().gravity_sg.reset();
    input.brew.readings.back().brix = Brix(6.2);
    const auto f = fermentation_of(input);
    REQUIRE(f.days.size() == 2);
    CHECK(*f.days[1].gravity_sg > 1.005);
    CHECK(*f.days[1].gravity_sg < 1.018); // by its face 6.2 °Bx were 1.024
}

TEST_CASE("a refractometer and a hydrometer a point apart do not say that a beer moves") {
    auto input = brew_of_1048();
    read(input, 3, 1.020);
    read(input, 8, 1.011);
    input.brew.readings.back().gravity_sg.reset();
    input.brew.readings.back().brix = Brix(6.0);
    const double by_prism = *fermentation_of(input).days.back().gravity_sg;
    read(input, 10, by_prism + 0.001);
    const auto f = fermentation_of(input);
    CHECK(f.state == Fermenting::cannot_tell);
    CHECK(f.says.find("by refractometer") != std::string::npos);
    read(input, 12, by_prism + 0.001); // by the hydrometer alone it has stood for two days
    CHECK(fermentation_of(input).state == Fermenting::has_stopped);
    input.brew.readings.pop_back();
    input.brew.readings.back().gravity_sg = SpecificGravity(by_prism - 0.006); // more than they can differ by
    CHECK(fermentation_of(input).state == Fermenting::goes_on);
}

TEST_CASE("a beer that one instrument has seen stand has stopped, though the other is read once beside it") {
    for (const bool prism_last : {true, false}) {
        auto input = brew_of_1048();
        read(input, 8, 1.011);
        const double by_prism = 1.011 + 0.001; // the two never agree closer
        read(input, 11, prism_last ? 1.011 : by_prism);
        read(input, 11, prism_last ? by_prism : 1.011);
        auto& prism = input.brew.readings[prism_last ? 3 : 2];
        prism.gravity_sg.reset();
        prism.brix = Brix(6.2);
        const auto f = fermentation_of(input);
        CHECK(f.state == Fermenting::has_stopped);
        // 1 - 2.815/11.911: the extracts of 1.011 and 1.048
        CHECK(f.says.starts_with("76 % attenuated so far; it has stood at 1.0110 since "));
    }
}

TEST_CASE("a temperature and a pH read beside a gravity stand in its row, and the beer's comes before the sample's") {
    auto input = brew_of_1048();
    read(input, 3, 1.020);
    input.brew.readings.back().gravity_at = Celsius(24.0);
    read(input, 3, std::nullopt);
    input.brew.readings.back().ph = 4.4;
    read(input, 4, 1.015);
    input.brew.readings.back().gravity_at = Celsius(21.0);
    const auto f = fermentation_of(input);
    REQUIRE(f.days.size() == 3); // the brew's day, and two
    CHECK(f.days[1].temperature == Celsius(19.5));
    CHECK(f.days[1].ph == 4.4);
    CHECK(f.days[2].temperature == Celsius(21.0));
}

TEST_CASE("nothing read day by day, nothing said") {
    const auto f = fermentation_of(brew_of_1048());
    CHECK(f.state == Fermenting::unread);
    CHECK(f.days.empty());
    CHECK(f.says.empty());
}

TEST_CASE("sugar given on the day of the last reading sets the beer going again") {
    auto input = brew_of_1048();
    read(input, 8, 1.011);
    read(input, 10, 1.011);
    CHECK(fermentation_of(input).state == Fermenting::has_stopped);
    UsedLot sugar;
    sugar.item.name = sugar.lot.item = "cane sugar";
    sugar.item.kind = ItemKind::sugar;
    sugar.lot.code = "S1";
    input.lots["S1"] = sugar;
    Addition& addition = input.brew.additions.emplace_back();
    addition.lot = "S1";
    addition.stage = Stage::fermenter;
    addition.amount = Amount::of(Kilograms(1.0));
    addition.on = input.brew.date + std::chrono::days(10);
    CHECK(fermentation_of(input).state == Fermenting::goes_on);
    input.brew.additions.back().on = input.brew.date + std::chrono::days(9);
    CHECK(fermentation_of(input).state == Fermenting::has_stopped);
}
