// What a brew teaches is what was read: nothing that was expected, of it or of the brews that it is balanced with.
#include "../../src/infer/learn/model.hpp"
#include "near.hpp"
#include "simulated_house.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/infer/learn.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

void forget_fermenter(ReconcileInput& in) {
    std::erase_if(in.brew.readings, [](const Reading& r) { return r.point == ReadingPoint::fermenter; });
}

// A brew of the house "main" and one of another house run into one fermenter, which was read when both were in.
LearnRequest two_houses(const std::optional<Percent>& told_of_other, double conversion_of_other = 92.0) {
    SimulatedHouse house(read_whole(11, 2));
    LearnRequest request = house.request;
    auto& main = request.brews[0];
    auto& other = request.brews[1];
    other.brewhouse.name = other.brew.brewhouse = "other";
    other.brewhouse.conversion = Percent(conversion_of_other);
    other.brewhouse.efficiency_fermenter = told_of_other;
    other.brew.fermented_with = main.brew.code;
    forget_fermenter(main);
    const auto litres = house.truth.volume;
    const auto gravity = house.truth.original_gravity;
    const double together = litres[0] + litres[1];
    for (auto& r : other.brew.readings) {
        if (r.point != ReadingPoint::fermenter) continue;
        if (r.volume) r.volume = Litres(together);
        if (r.gravity_sg) r.gravity_sg = SpecificGravity((litres[0] * gravity[0] + litres[1] * gravity[1]) / together);
    }
    const ReconcileInput first = main, second = other;
    main.later_in_fermenter = {second};
    other.earlier_in_fermenter = {first};
    request.scales = Scales::as_stated;
    return request;
}

// What a brew's rows say of its conversion: how surely, and what.
struct Said {
    double sure = 0.0, at = 0.0;
};

Said said_of_conversion(const ReconcileInput& in) {
    const auto evidence = infer_detail::evidence_of(in, in.brew.date);
    INFO(evidence.fault);
    REQUIRE(evidence.fault.empty());
    Said said;
    for (const auto& row : evidence.rows) {
        said.sure += row.of[0] * row.of[0];
        said.at += row.of[0] * row.value;
    }
    said.at /= said.sure;
    return said;
}

const BrewLevel& level_of_main(const Learning& learned) {
    return *std::ranges::find(learned.levels, std::string("main"), &BrewLevel::brewhouse);
}

} // namespace

TEST_CASE("two houses share a fermenter: what is told of one does not move the other's level") {
    const Learning untold = learn(two_houses({})), told = learn(two_houses(Percent(45.0)));
    REQUIRE(untold.levels.size() == 2);
    REQUIRE(told.levels.size() == 2);
    CHECK(level_of_main(told).conversion.value == near(level_of_main(untold).conversion.value, 1e-4));
    CHECK(level_of_main(told).lauter.value == near(level_of_main(untold).lauter.value, 1e-4));
    CHECK(level_of_main(told).conversion.sd == near(level_of_main(untold).conversion.sd, 1e-2));
}

TEST_CASE("what is stated of a brew beside it in the fermenter is no evidence") {
    const Said well = said_of_conversion(two_houses({}, 95.0).brews[0]);
    const Said badly = said_of_conversion(two_houses({}, 75.0).brews[0]);
    CHECK(badly.sure == near(well.sure, 0.05));
    CHECK(badly.at == near(well.at, 0.0, 0.01));
}
