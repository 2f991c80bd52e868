// The first lines of a trend: what moved, which lots are odd, and how many brews that rests on.
#include "flowing.hpp"
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
    CHECK(
        text.find("Lot PM-1 (pale malt) is odd: -4.2 % against what lots of its malt usually are (-6.3 to -2.1 %), p = "
                  "0.001; against its certificate -1.0 % (-3.5 to +1.5 %).") != std::string::npos);
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
    const std::string text = flowing(trend_text(trend));
    // -1.04 +- 1.645 * 0.61
    CHECK(text.find("recipes -1.04 ± 0.61 % -2.04 to -0.04 %") != std::string::npos);
    CHECK(text.find("boil-off, L/h 2.940 ± 0.080 2.808 to 3.072") != std::string::npos);
}
