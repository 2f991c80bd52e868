// What an instrument errs by in every brew, as all brews together tell it.
#include "simulated_brewery.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/infer/learn.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// Thirty brews of a brewery that reads everything, with the kettle's marks `bias` litres high in all of them.
Learning learned_with(unsigned seed, double bias) {
    Brewery brewery(seed);
    for (const char* name : {"hydrometer", "liquor marks", "fermenter marks"}) brewery.keep_bias(name, 0.0);
    brewery.keep_bias("kettle marks", bias);
    LearnRequest request;
    for (int i = 0; i < 30; ++i) {
        auto brew = brewery.draw(kinds[1], 0.1).input;
        // the brewhouse scatters from brew to brew about figures that are right
        auto& house = brew.brewhouse;
        house.boil_off_level_sd = LitresPerHour(0.1);
        house.kettle_loss_level_sd = Litres(0.05);
        house.absorption_level_sd = LitresPerKilogram(0.02);
        house.conversion_level_sd = house.lauter_level_sd = Percent(0.5);
        request.brews.push_back(brew);
    }
    return learn(request);
}

LearnedInstrument instrument(const Learning& learned, const char* name) {
    const auto found = std::ranges::find(learned.instruments, name, &LearnedInstrument::name);
    REQUIRE(found != learned.instruments.end());
    return *found;
}

} // namespace

TEST_CASE("kettle marks that read 0.7 L high in every brew are found out, and no other instrument is accused") {
    const auto learned = learned_with(11, 0.7);
    const auto marks = instrument(learned, "kettle marks");
    CHECK(marks.unit == "l");
    CHECK(marks.brews >= 25); // all that have a reading by these marks; one in ten readings is missing
    CHECK(marks.is_told);
    CHECK(marks.offset.low > 0.0);
    CHECK(marks.offset.low < 0.7);
    CHECK(marks.offset.high > 0.7);
    REQUIRE(marks.correction);
    CHECK(*marks.correction < 0.0); // added to what is read
    for (const auto& other : learned.instruments)
        if (other.name != "kettle marks") CHECK_FALSE(other.is_told);
}

TEST_CASE("the interval holds the true error about nine times in ten, and instruments that are right are left alone") {
    int held = 0, accused = 0;
    for (unsigned seed = 100; seed < 150; ++seed) {
        Brewery draw(seed);
        const double bias = draw.normal(0.0, 0.2); // within what the instrument states
        const auto learned = learned_with(seed, bias);
        const auto marks = instrument(learned, "kettle marks");
        held += marks.offset.low <= bias && bias <= marks.offset.high;
        for (const auto& other : learned.instruments) accused += other.name != "kettle marks" && other.is_told;
    }
    // 50 draws of a 90 % interval: 40 or fewer have a chance under 2 % (binomial)
    CHECK(held > 40);
    CHECK(accused <= 4); // of 200
}

TEST_CASE("without brews nothing is said of any instrument") {
    CHECK(learn({}).instruments.empty());
}
