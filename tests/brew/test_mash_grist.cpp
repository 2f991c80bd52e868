// What a grist weighs, holds and errs by, by hand.
#include "near.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/brew/mash_grist.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

WeighedMalt weighed(const char* lot, double kg, double extract, double extract_sd, double moisture_pct,
                    const Instrument& balance) {
    MaltFigures figures;
    figures.extract_as_is = {extract, extract_sd, Origin::certificate};
    figures.moisture_pct = {moisture_pct, 0.3, Origin::certificate};
    return {lot, Kilograms(kg), figures, balance};
}

} // namespace

TEST_CASE("a reading scatters by what is stated, by its per cent of the value and by its step over root twelve") {
    Instrument marks;
    marks.resolution = 0.12;
    CHECK(reading_sd(marks, 50.0) == near(0.034641)); // 0.12/sqrt(12)
    marks.resolution.reset();
    marks.repeatability = 0.3;
    marks.repeatability_pct = 2.0;
    CHECK(reading_sd(marks, 20.0) == near(0.5)); // 0.3 and 2 % of 20 are 0.3 and 0.4
    marks.bias_sd = 0.6;
    marks.bias_sd_pct = 4.0;
    CHECK(bias_sd(marks, 20.0) == near(1.0)); // 0.6 and 0.8
}

TEST_CASE("lines of one lot err together, weighings on one balance share its bias, single weighings are their own") {
    Instrument scale;
    scale.name = "platform";
    scale.unit = "kg";
    scale.repeatability = 0.1;
    scale.bias_sd = 0.05;
    const MashGrist grist =
        mash_grist({weighed("A", 10.0, 0.8, 0.02, 5.0, scale), weighed("A", 6.0, 0.8, 0.02, 5.0, scale),
                    weighed("B", 4.0, 0.75, 0.03, 10.0, scale)});
    CHECK(grist.mass_kg == near(20.0));
    CHECK(grist.extract_kg == near(15.8));                        // 8 + 4.8 + 3
    CHECK(grist.moisture_kg == near(1.2));                        // 0.5 + 0.3 + 0.4
    CHECK(grist.lot_error_kg.at("A") == near(0.32));              // 16 kg at 0.02
    CHECK(grist.lot_error_kg.at("B") == near(0.12));              // 4 kg at 0.03
    CHECK(grist.balance_error_kg.at("platform") == near(0.1175)); // (0.8 + 0.8 + 0.75) * 0.05
    const double own = std::sqrt(0.08 * 0.08 + 0.08 * 0.08 + 0.075 * 0.075);
    CHECK(grist.own_weighing_sd_kg == near(own));
    CHECK(grist.extract_sd_kg == near(std::sqrt(own * own + 0.32 * 0.32 + 0.12 * 0.12 + 0.1175 * 0.1175)));
}
