// The first lines of a trend: what moved, which lots are odd, and how many brews that rests on.
#include "flowing.hpp"
#include <algorithm>
#include <doctest/doctest.h>
#include <lotwort/report/trend.hpp>

using namespace lotwort;
using namespace lotwort::report;
using lotwort::test::flowing;

namespace {

Trend trend_of(int lots, bool odd) {
    Trend trend;
    trend.brewhouse = "garage";
    BrewLevel level;
    level.brew = "B1";
    level.date = *parse_iso_date("2026-03-10");
    level.conversion = level.lauter = level.brewhouse_level = normal_estimate(0.9, 0.01);
    trend.learned.levels.push_back(level);
    trend.learned.brews = 2;
    for (int i = 0; i < lots; ++i) {
        LearnedLot lot;
        lot.lot = "PM-" + std::to_string(i + 1);
        lot.item = "pale malt";
        // weaker than its malt, whose lots are all stronger than their certificates
        lot.difference = {-0.01, 0.015, -0.035, 0.015};
        lot.against_malt = {-0.042, 0.013, -0.063, -0.021};
        lot.p_value = 0.0012;
        lot.is_odd = odd && i == 0;
        trend.learned.lots.push_back(lot);
    }
    return trend;
}

} // namespace

TEST_CASE("an odd lot is named by the figure its p is of, and its certificate's stands behind") {
    const std::string text = flowing(trend_text(trend_of(3, true)));
    CHECK(text.find("Lot PM-1 (pale malt) is odd: -4.2 % against its malt as usual (-6.3 to -2.1 %), "
                    "by chance once in 830; against its certificate -1.0 % (-3.5 to +1.5 %).") != std::string::npos);
    CHECK(text.find("by chance alone") == std::string::npos);
    CHECK(flowing(trend_text(trend_of(3, false))).find("no lot is odd") != std::string::npos);
}

TEST_CASE("of many lots some would look odd by chance, and how many is said") {
    // 5.3 % of 40
    CHECK(flowing(trend_text(trend_of(40, true))).find("Of 40 lots, some 2 would look odd by chance alone.") !=
          std::string::npos);
}

TEST_CASE("brews that told nothing are counted, and told apart") {
    Trend trend = trend_of(1, false);
    CHECK(trend_text(trend).starts_with("2 brews, 1 of them with something to tell, on garage, "));
    trend.learned.brews = 1;
    CHECK(trend_text(trend).starts_with("1 brew on garage, "));
}

TEST_CASE("shares are said in per cent, figures with a unit of their own in it") {
    Trend trend = trend_of(1, false);
    trend.learned.others = {{"attenuation by ale yeast against the recipes", normal_estimate(-0.0104, 0.0061)},
                            {"boil-off, L/h", normal_estimate(2.94, 0.08)}};
    trend.full = true;
    const std::string text = flowing(trend_text(trend));
    // -1.04 +- 1.645 * 0.61
    CHECK(text.find("recipes -1.04 ± 0.61 % -2.04 to -0.04 %") != std::string::npos);
    CHECK(text.find("boil-off, L/h 2.940 ± 0.080 2.808 to 3.072") != std::string::npos);
}

namespace {

// Conversion that fell with a lot that began then.
Drift fallen() {
    Drift d;
    d.quantity = "conversion";
    d.brewhouse = "garage";
    d.from_brew = "B8";
    d.change = -0.039;
    d.low = -0.051;
    d.high = -0.027;
    d.probability = 0.95;
    d.causes = {{"the brewhouse's conversion", 0.62}, {"lot PAM-2, new then", 0.33}};
    return d;
}

LearnedInstrument marks(bool told) {
    LearnedInstrument i;
    i.name = "kettle marks";
    i.unit = "l";
    i.offset = {0.7, 0.2, 0.37, 1.03};
    i.stated_sd = 0.35;
    i.brews = 20;
    i.probability = told ? 0.98 : 0.81;
    i.is_told = told;
    if (told) i.correction = -0.7;
    if (!told) i.or_else = {{"boil-off of garage", 0.44}};
    return i;
}

} // namespace

// "Since B8 I get four per cent less out of it; it is the mash, or the new sack" is what a brewer would say first.
TEST_CASE("a change is said first, with its size and what it may be due to, by odds") {
    Trend trend = trend_of(1, false);
    trend.learned.drift = {fallen()};
    const std::string text = flowing(trend_text(trend));
    CHECK(text.find("From B8 on garage gives 3.9 % less of its malt (-5.1 to -2.7 %): the brewhouse's conversion 62 %, "
                    "lot PAM-2, new then 33 %.") != std::string::npos);
    CHECK(text.find("Nothing has changed") == std::string::npos);
}

// "My brews repeat within half a per cent, so I would notice three, but not two."
TEST_CASE("how far brews repeat stands beside what is typical, and what would not show yet") {
    Trend trend = trend_of(1, false);
    trend.learned.scales = {{"a brew", 0.034, 0.01, 0.1, 0.006, 0.004, 0.009}};
    trend.learned.power = {{"garage", 7, 0.024, 0.019}};
    CHECK(trend_text(trend).find("repeat within") == std::string::npos); // one brew, or two, repeat nothing
    trend.learned.brews = 14;
    const std::string text = flowing(trend_text(trend));
    CHECK(text.find("Your brews repeat within 0.6 % (0.4 to 0.9); before any was brewed 3.4 was taken as typical.") !=
          std::string::npos);
    CHECK(text.find("A fall of less than 2.4 % that began 7 brews ago would not show yet; four more brews would show "
                    "1.9 %.") != std::string::npos);
}

// "The kettle's marks are off, or I boil harder than I think: I will weigh a bucket of water in."
TEST_CASE("an instrument that may lie is doubted with what else it may be, and the reading that would tell") {
    Trend trend = trend_of(1, false);
    trend.learned.instruments = {marks(false)};
    const std::string doubted = flowing(trend_text(trend));
    CHECK(doubted.find("kettle marks: perhaps 0.70 L high (+0.37 to +1.03 L), 81 %; or it is boil-off of garage (44 %). "
                       "Would tell: water weighed in.") != std::string::npos);
    trend.full = true;
    CHECK(trend_text(trend).find("--correction") == std::string::npos); // none is offered for a doubt
    trend.learned.instruments = {marks(true)};
    const std::string told = trend_text(trend);
    CHECK(flowing(told).find("kettle marks: 0.70 L high (+0.37 to +1.03 L).") != std::string::npos);
    CHECK(told.find("lotwort brewhouse instrument \"kettle marks\" --correction=-0.7") != std::string::npos);
}

TEST_CASE("unasked, a trend keeps to one screen, however much is known") {
    Trend trend = trend_of(40, true);
    trend.learned.drift = {fallen()};
    trend.learned.instruments = {marks(false), marks(true)};
    trend.learned.power = {{"garage", 7, 0.024, 0.019}};
    const std::string text = trend_text(trend);
    CHECK(std::ranges::count(text, '\n') <= 24);
    trend.full = true;
    CHECK(std::ranges::count(trend_text(trend), '\n') > 40);
}

TEST_CASE("two brewhouses are two plots each") {
    Trend trend = trend_of(1, false);
    trend.full = true;
    BrewLevel other = trend.learned.levels.front();
    other.brewhouse = "barn";
    trend.learned.levels.front().brewhouse = "garage";
    trend.learned.levels.push_back(other);
    const std::string text = trend_text(trend);
    for (const char* name : {"CONVERSION of garage", "CONVERSION of barn"}) CHECK(text.find(name) != std::string::npos);
}
