#include "simulated_brewery.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/infer/instrument_bias.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// What thirty brews say of the kettle's marks when those read `bias` litres high in all of them.
LearnedBias kettle_marks(unsigned seed, double bias) {
    Brewery brewery(seed);
    for (const char* name : {"hydrometer", "liquor marks", "fermenter marks"}) brewery.keep_bias(name, 0.0);
    brewery.keep_bias("kettle marks", bias);
    std::vector<ReconcileInput> brews;
    for (int i = 0; i < 30; ++i) {
        auto brew = brewery.draw(kinds[1], 0.1).input;
        // the brewhouse scatters from brew to brew about figures that are right
        auto& house = brew.brewhouse;
        house.boil_off_level_sd = LitresPerHour(0.1);
        house.kettle_loss_level_sd = Litres(0.05);
        house.absorption_level_sd = LitresPerKilogram(0.02);
        house.conversion_level_sd = house.lauter_level_sd = Percent(0.5);
        brews.push_back(brew);
    }
    const auto learned = learn_biases(brews);
    return *std::ranges::find(learned, "kettle marks", &LearnedBias::instrument);
}

} // namespace

TEST_CASE("kettle marks that read 0.5 L high in every brew are found out, with an interval") {
    const auto learned = kettle_marks(11, 0.5);
    CHECK(learned.unit == "l");
    CHECK(learned.brews >= 25);    // all that have a reading by these marks; one in ten readings is missing
    CHECK(learned.bias.low > 0.0); // it does read high
    CHECK(learned.bias.low < 0.5);
    CHECK(learned.bias.high > 0.5);
    CHECK(learned.bias.sd < 0.8 * learned.prior_sd); // more is known than before
}

TEST_CASE("the interval holds the true bias about nine times in ten") {
    int held = 0;
    for (unsigned seed = 100; seed < 150; ++seed) {
        Brewery draw(seed);
        const double bias = draw.normal(0.0, 0.25); // as wide as the instrument states
        const auto learned = kettle_marks(seed, bias);
        held += learned.bias.low <= bias && bias <= learned.bias.high;
    }
    // 50 draws of a 90 % interval: 40 or fewer have a chance under 2 % (binomial)
    CHECK(held > 40);
}

TEST_CASE("without brews nothing is said") {
    CHECK(learn_biases({}).empty());
}
