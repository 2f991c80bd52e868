// Facts of the trade: common practice, without a source, that any brewer would hold a figure against.
#include "near.hpp"
#include <doctest/doctest.h>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/isomerisation.hpp>
#include <lotwort/wort/volume.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::wort;

TEST_CASE("common practice: 1.044 down to 1.008 is a beer of about 4.7 % by volume") {
    CHECK(std::abs(alcohol_by_volume(SpecificGravity(1.044), SpecificGravity(1.008)).value() - 4.7) < 0.1);
}

TEST_CASE("common practice: about 4 g/L is modest dry hopping, and gives no bitterness of the boil") {
    const double rate = dry_hop_rate_g_per_l(Grams(80.0), Litres(20.0));
    CHECK(rate == near(4.0));
    CHECK(dry_hopping_of(rate) == DryHopping::modest);
    CHECK(dry_hopping_of(0.0) == DryHopping::none);
    CHECK(dry_hopping_of(15.0) == DryHopping::heavy);
    const double in_the_cold = equivalent_boil(Minutes(4.0 * 1440.0), Celsius(18.0)).minutes.value();
    CHECK(in_the_cold < 1.0); // four days at 18 C are worth less than a minute
}

TEST_CASE("common practice: bitterness over gravity points just above 1 is a firmly bitter pale ale") {
    const SpecificGravity original(1.048);
    // 30 g of 10 % alpha boiled for an hour and 25 g for a quarter, in 20 L
    const double bitterness_units =
        (bitterness(Grams(30.0), Percent(10.0), utilisation(original, Minutes(60.0)), Litres(20.0)) +
         bitterness(Grams(25.0), Percent(10.0), utilisation(original, Minutes(15.0)), Litres(20.0)))
            .value();
    const double ratio = bitterness_ratio(BitternessUnits(bitterness_units), original);
    CHECK(ratio > 1.0);
    CHECK(ratio < 1.2);
    CHECK(balance_of(ratio) == Balance::firmly_bitter);
    CHECK(word(balance_of(ratio)) == "firmly bitter");
    CHECK(balance_of(bitterness_ratio(BitternessUnits(20.0), original)) == Balance::balanced);
    CHECK(balance_of(bitterness_ratio(BitternessUnits(10.0), original)) == Balance::soft);
}

TEST_CASE("common practice: half an hour in a stand at 80 C gives well under half of half an hour's boil") {
    const SpecificGravity gravity(1.048);
    const auto stand = equivalent_boil(Minutes(30.0), Celsius(80.0));
    const double stood = utilisation(gravity, stand.minutes), boiled = utilisation(gravity, Minutes(30.0));
    CHECK(stood < 0.4 * boiled);
    CHECK(stood > 0.1 * boiled); // but it is not nothing
    // even at the upper end of what the extrapolation allows
    CHECK(utilisation(gravity, stand.minutes + 1.645 * stand.sd) < 0.4 * boiled);
}

TEST_CASE("common practice: a kettle read at the boil shrinks by about 4 %") {
    const double cold = volume_at(Litres(100.0), Plato(12.0), Celsius(99.0), Celsius(20.0)).value();
    CHECK(cold == near(96.0, 0.003));
}

TEST_CASE("the words for bitterness and dry hops begin and end where they say") {
    CHECK(balance_of(0.299) == Balance::soft);
    CHECK(balance_of(0.3) == Balance::balanced);
    CHECK(balance_of(0.6) == Balance::balanced);
    CHECK(balance_of(0.601) == Balance::bitter);
    CHECK(balance_of(1.0) == Balance::bitter);
    CHECK(balance_of(1.001) == Balance::firmly_bitter);
    CHECK(dry_hopping_of(1.499) == DryHopping::light);
    CHECK(dry_hopping_of(1.5) == DryHopping::modest);
    CHECK(dry_hopping_of(5.0) == DryHopping::modest);
    CHECK(dry_hopping_of(10.0) == DryHopping::generous);
}
