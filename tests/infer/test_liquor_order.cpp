// Liquor added after a reading was taken is not in it: in the kettle, in the fermenter, and days later in the beer.
#include "near.hpp"
#include "simulated_brew.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/infer/beer_as_read.hpp>
#include <lotwort/infer/fermentation.hpp>
#include <lotwort/infer/liquor_after.hpp>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/wort/gravity.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

double quantity(const Reconciliation& r, const char* name) {
    for (const auto& [called, found] : r.quantities)
        if (called == name && found.estimate) return found.estimate->value;
    return 0.0;
}

Reading liquor(ReadingPoint point, double litres) {
    Reading r;
    r.id = std::string(word(point)) + "-liquor";
    r.point = point;
    r.volume = Litres(litres);
    r.volume_instrument = "liquor marks";
    return r;
}

void read(ReconcileInput& input, ReadingPoint point, double gravity_sg, int days) {
    Reading r;
    r.id = std::string(word(point)) + std::to_string(days);
    r.point = point;
    r.on = input.brew.date + std::chrono::days(days);
    r.gravity_sg = SpecificGravity(gravity_sg);
    input.brew.readings.push_back(r);
}

// The readings of a brew before liquor came, then the liquor, then those after it: the truth of both is known.
SimulatedBrew read_around(ReadingPoint point, double litres, bool reads_after) {
    const bool kettle = point == ReadingPoint::kettle_full;
    auto before = simulate({.sparge_l = 14.0}); // a whole day's readings, without the liquor
    read_everything(before);
    auto brew =
        simulate({.sparge_l = 14.0, .top_up_l = kettle ? 0.0 : litres, .kettle_liquor_l = kettle ? litres : 0.0});
    std::erase_if(brew.input.brew.readings, [](const Reading& r) { return r.point == ReadingPoint::kettle_liquor; });
    read_everything(brew);
    auto& readings = brew.input.brew.readings;
    std::vector<Reading> after;
    for (Reading& r : readings)
        if (r.point == point) {
            after.push_back(r);
            r = *std::ranges::find(before.input.brew.readings, r.id, &Reading::id);
        }
    readings.push_back(liquor(kettle ? ReadingPoint::kettle_liquor : ReadingPoint::top_up, litres));
    if (reads_after)
        for (Reading& r : after) {
            r.id += "-after";
            readings.push_back(r);
        }
    return brew;
}

} // namespace

TEST_CASE("what was read before liquor went into the fermenter or the kettle is of the wort without it") {
    for (const ReadingPoint point : {ReadingPoint::kettle_full, ReadingPoint::fermenter})
        for (const bool reads_after : {false, true}) {
            CAPTURE(word(point));
            CAPTURE(reads_after);
            const auto brew = read_around(point, 2.4, reads_after);
            const auto r = reconcile(brew.input);
            CHECK(r.test.statistic < 1e-6);
            CHECK(r.suspects.empty());
            CHECK(quantity(r, "boil_off_l") == near(75.0 / 60.0 * 3.1, 1e-4));
            CHECK(quantity(r, point == ReadingPoint::kettle_full ? "kettle_liquor_l" : "top_up_l") == near(2.4, 1e-4));
            CHECK(quantity(r, "fermenter_l") == near(brew.fermenter_l, 1e-4));
            CHECK(quantity(r, "original_gravity_sg") == near(wort::specific_gravity_of(brew.fermenter_w), 1e-6));
            CHECK(r.efficiencies.brewhouse.estimate->value == near(brew.brewhouse, 1e-5));
        }
}

TEST_CASE("liquor written down before a reading is in it, by the clock where both tell the time") {
    auto brew = read_around(ReadingPoint::fermenter, 2.4, false);
    auto& readings = brew.input.brew.readings;
    for (Reading& r : readings)
        if (r.point == ReadingPoint::fermenter) r.at = "13:05";
    readings.back().at = "13:20";
    std::ranges::rotate(readings, readings.end() - 1); // typed first, and taken later
    CHECK(reconcile(brew.input).test.statistic < 1e-6);
    readings.front().at = "13:00";
    CHECK_FALSE(reconcile(brew.input).test.passed);
}

TEST_CASE("a corrected reading stays where the one it stands for was taken") {
    auto brew = read_around(ReadingPoint::fermenter, 2.4, false);
    auto& readings = brew.input.brew.readings;
    const auto wrong = std::ranges::find(readings, std::string("fermenter-volume"), &Reading::id);
    REQUIRE(wrong != readings.end());
    Reading right = *wrong;
    right.id = "r99";
    wrong->volume = Litres(12.0);
    wrong->set_aside = "corrected by r99";
    readings.push_back(right);
    CHECK(reconcile(brew.input).test.statistic < 1e-6);
    // and the rest of one whose other value was set aside
    Reading rest = right;
    rest.id = "r100";
    readings.back().set_aside = "misread";
    readings.back().gravity_sg = SpecificGravity(1.03);
    readings.push_back(rest);
    CHECK(reconcile(brew.input).test.statistic < 1e-6);
}

TEST_CASE("two lots of liquor in the fermenter are both in it") {
    auto brew = read_around(ReadingPoint::fermenter, 2.4, false);
    auto& readings = brew.input.brew.readings;
    readings.back().volume = Litres(1.0);
    Reading more = liquor(ReadingPoint::top_up, 1.4);
    more.id = "more";
    readings.push_back(more);
    const auto r = reconcile(brew.input);
    CHECK(r.test.statistic < 1e-6);
    CHECK(quantity(r, "top_up_l") == near(2.4, 1e-4));
}

// 21.0 L of 1.0555 are 22.125 kg of 13.68 °P; with 2.4 L, 2.396 kg, they are 12.34 °P or 1.0498 in 23.4 L, and beer of
// 1.010 made of that holds 5.3 % by volume. Of 1.0555 it would have been 6.1.
TEST_CASE("liquor two days into the fermentation makes the beer that it would have made at the start") {
    auto brew = simulate({});
    auto& readings = brew.input.brew.readings;
    readings.clear();
    Reading start = liquor(ReadingPoint::fermenter, 21.0);
    start.volume_instrument.reset();
    start.gravity_sg = SpecificGravity(1.0555);
    readings.push_back(start);
    readings.push_back(liquor(ReadingPoint::top_up, 2.4));
    read(brew.input, ReadingPoint::final_beer, 1.010, 12);
    auto pitched = brew.input;
    std::erase_if(pitched.brew.readings, [](const Reading& r) { return r.point == ReadingPoint::top_up; });
    pitched.brew.readings.front().volume = Litres(23.4);
    pitched.brew.readings.front().gravity_sg = SpecificGravity(1.0498);
    const BeerAsRead beer = beer_as_read(brew.input), as_if = beer_as_read(pitched);
    CHECK(beer.original_sg->value == near(1.0498, 1e-4));
    CHECK(*beer.fermenter_l == near(23.4, 1e-9));
    CHECK(beer.alcohol_abv_pct->value == near(as_if.alcohol_abv_pct->value, 0.02));
    CHECK(*beer.efficiency == near(*as_if.efficiency, 0.002));
    CHECK(beer.alcohol_abv_pct->value < 5.4);
}

TEST_CASE("liquor after the beer was read thins its gravity and its alcohol alike") {
    auto brew = read_around(ReadingPoint::fermenter, 2.4, false);
    auto& readings = brew.input.brew.readings;
    const Reading water = readings.back();
    readings.pop_back();
    const double strong_sg = beer_as_read(brew.input).original_sg->value;
    read(brew.input, ReadingPoint::final_beer, 1.012, 12);
    const double strong = beer_as_read(brew.input).alcohol_abv_pct->value;
    const double litres = *beer_as_read(brew.input).fermenter_l;
    readings.push_back(water);
    const double kept = litres * strong_sg / (litres * strong_sg + 2.4);
    // by volume, as a mixture of beer and water does
    CHECK(beer_as_read(brew.input).alcohol_abv_pct->value == near(strong * litres / (litres + 2.4), 0.03));
    CHECK(beer_as_read(brew.input).final_sg->value == near(1.0 + 0.012 * kept, 1e-4));
    const auto r = reconcile(brew.input);
    CHECK(quantity(r, "alcohol_abv_pct") == near(strong * litres / (litres + 2.4), 0.05));
    CHECK(std::ranges::any_of(r.remarks, [](const std::string& said) {
        return said.starts_with("2.4 L of liquor came after the final gravity was read");
    }));
}

TEST_CASE("liquor is not taken for yeast: a gravity that stood before and after it has stopped") {
    auto brew = read_around(ReadingPoint::fermenter, 2.4, false);
    auto& readings = brew.input.brew.readings;
    const Reading water = readings.back();
    readings.pop_back();
    read(brew.input, ReadingPoint::fermenting, 1.0120, 8);
    readings.push_back(water);
    const double kept = strength_left(brew.input, readings[readings.size() - 2], 1.045);
    read(brew.input, ReadingPoint::fermenting, 1.0 + 0.0120 * kept, 12);
    const Fermentation f = fermentation_of(brew.input);
    CHECK(f.state == Fermenting::has_stopped);
    REQUIRE(f.days.size() == 3);
    CHECK(*f.days[1].gravity_sg == near(1.0120, 1e-5)); // as it was read
    CHECK(*f.days[1].attenuation_pct == near(*f.days[2].attenuation_pct, 0.3));
}
