// Sugar in the fermenter, against the balance by hand.
#include "near.hpp"
#include <doctest/doctest.h>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/late_extract.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;

// 20.93 kg of 12 P hold 2.5116 kg; with 1 kg of sucrose 3.5116 of 21.93: 16.013 P. Of the wort's 75 % are 0.8192 * 0.75
// * 2.5116 = 1.5431 kg really gone, and 1 kg: 2.5431 of 3.5116, 0.7242, by Balling 0.8840 apparent.
TEST_CASE("a kilogram of sugar in 20 L of 12 P") {
    const LateExtract sugar{1.0, 1.0, 0.0};
    const double original = original_in_all(12.0, 20.93, sugar);
    CHECK(original == near(16.013, 1e-4));
    const double attenuation = attenuation_in_all(0.75, 12.0, 20.93, sugar);
    CHECK(attenuation == near(0.8840, 1e-4));
    CHECK(attenuation_of_wort(attenuation, 12.0, 20.93, sugar) == near(0.75, 1e-12));
    // alcohol by the masses: the wort's (12 - 4.627)/1.9385 = 3.803 % of its beer, 0.767 kg of 20.2 kg, and 1/2.0665 =
    // 0.484 kg of the sugar: 1.251 kg in 20.6 L. Balling of the whole differs from that by what is lost of the
    // mass: 1.5 %
    const double abv = alcohol_by_volume_pct(original, apparent_extract_after(original, attenuation));
    CHECK(abv == near(100.0 * 1.251 / 0.78924 / 20.6, 0.02));
}

TEST_CASE("what does not ferment lifts the final gravity and makes no alcohol") {
    const LateExtract lactose{0.5, 0.0, 0.03};
    const double original = original_in_all(12.0, 20.93, lactose);
    const double left = apparent_extract_after(original, attenuation_in_all(0.75, 12.0, 20.93, lactose));
    CHECK(left > 3.0 + 100.0 * 0.5 / 21.46 * 0.9);
    const double without = alcohol_by_volume_pct(12.0, 3.0);
    CHECK(alcohol_by_volume_pct(original, left) == near(without, 0.03)); // in 2.5 % more beer
}

TEST_CASE("water thins: extract, and with it alcohol, go by the mass") {
    const LateExtract water{0.0, 0.0, 2.093};
    CHECK(original_in_all(12.0, 20.93, water) == near(12.0 / 1.1, 1e-12));
    CHECK(attenuation_in_all(0.75, 12.0, 20.93, water) == near(0.75, 1e-12));
}
