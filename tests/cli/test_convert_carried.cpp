// What is typed behind a ± comes out behind the answer. Expected standard uncertainties are worked by hand beside each,
// or drawn.
#include "brewery.hpp"
#include "monte_carlo.hpp"
#include "near.hpp"
#include <cmath>

using namespace lotwort::test;

namespace {

Json said(const std::string& line) {
    return Brewery().json("convert " + line);
}

double sd(const std::string& line) {
    return said(line)["sd"].get<double>();
}

Near about(double expected, double share = 1e-3) {
    return near(expected, share);
}

} // namespace

TEST_CASE("gravity: the ASBC cubic's slope at 1.048 is 238.2 °P") {
    // 3*135.997*1.048^2 - 2*630.272*1.048 + 1111.14 = 238.19
    CHECK(sd("1.048±0.001 --to plato") == about(0.23819, 2e-3));
    CHECK(sd("1.048+-0.001 --from sg-air --to plato") == about(0.23819, 2e-3));
    CHECK(sd("1.048±0.001 --to sg") == about(0.001, 1e-9)); // there and back
    CHECK(sd("12P±0.2 --to plato") == about(0.2, 1e-12));
    CHECK(sd("11.8±0.1Bx --to brix") == about(0.1, 1e-12)); // the wort factor has no part in it
    // 11.8/1.04: the reading's 0.1/1.04 and the factor's own 0.01 of 1.04
    CHECK(sd("11.8±0.1Bx --to plato") == about(std::hypot(0.1 / 1.04, 11.8 / 1.04 * 0.01 / 1.04)));
    CHECK(sd("11.8±0.1Bx --to plato --wort-factor 1.03±0.02") ==
          about(std::hypot(0.1 / 1.03, 11.8 / 1.03 * 0.02 / 1.03)));
    CHECK_FALSE(said("1.048 --to plato").contains("sd"));
}

TEST_CASE("a stem's warmth: the slope in temperature is that of two conversions a degree apart") {
    const double up = said("1.048 --read-at 36C --to sg")["value"], down = said("1.048 --read-at 34C --to sg")["value"];
    CHECK(sd("1.048 --read-at 35±1C --to sg") == about((up - down) / 2.0, 1e-3));
    CHECK(sd("1.048 --read-at 95±1.8F --to sg") == about((up - down) / 2.0, 1e-3)); // 1.8 F is 1 C
}

TEST_CASE("alcohol: what two extracts share is counted once") {
    CHECK(sd("12±0.2P --final 2.5±0.1P --to real-extract") == about(std::hypot(0.1808 * 0.2, 0.8192 * 0.1)));
    // 75 ± 3 %: the original extract moves both, so the attenuation keeps its own 3 and the rest adds by slope
    CHECK(sd("12±0.2P --attenuation 75±3% --to attenuation") == about(3.0, 1e-9));
    CHECK(sd("12±0.2P --attenuation 75±3% --to apparent-extract") == about(std::hypot(0.25 * 0.2, 12.0 * 0.03)));
    // two readings of one refractometer share its wort factor: drawn with Terrill's cubic and his 0.002 in quadrature
    const auto final_gravity = [](const auto& x) {
        const double i = x[0] / x[2], f = x[1] / x[2];
        return 1.0 - 0.0044993 * i + 0.011774 * f + 0.00027581 * i * i - 0.0012717 * f * f - 0.00000728 * i * i * i +
               0.000063293 * f * f * f;
    };
    const double read = monte_carlo(final_gravity, std::array{12.0, 6.0, 1.04}, std::array{0.1, 0.1, 0.01}, 100000).sd;
    const double linear = 1.0 - 0.00085683 * 12.0 / 1.04 + 0.0034941 * 6.0 / 1.04;
    const double apart = final_gravity(std::array{12.0, 6.0, 1.04}) - linear;
    CHECK(sd("12±0.1Bx --final 6±0.1Bx --to final-gravity") == about(std::hypot(read, 0.002, apart), 0.01));
}

TEST_CASE("products and quotients: relative uncertainties in quadrature") {
    CHECK(sd("55±0.2lb --to kg") == about(0.2 * 0.45359237, 1e-9));
    CHECK(sd("149±1.8F --to c") == about(1.0, 1e-9));
    CHECK(sd("30±0.3L --at 95C --to 20C") == about(0.3 * 0.963631, 1e-4));
    const Json ibu = said("30±1g --alpha 10±0.5% --boil 60min --volume 20±0.4L --gravity 1.048 --to ibu");
    CHECK(ibu["sd"].get<double>() / ibu["value"].get<double>() == about(std::hypot(1.0 / 30.0, 0.05, 0.02)));
    CHECK(sd("80±2g --volume 20L --to g/l") == about(0.1));
    CHECK(sd("100±5g --oil 1.2±0.1 --to ml") == about(1.2 * std::hypot(0.05, 0.1 / 1.2)));
    CHECK(sd("12±1EBC --to srm") == about(1.0 / 1.97));
    const Json ebc = said("40±4 --from mcu --to ebc"); // a power of 0.6859
    CHECK(ebc["sd"].get<double>() / ebc["value"].get<double>() == about(0.06859));
    CHECK(sd("250±10WK --to lintner") == about(10.0 / 3.5));
    CHECK(sd("23±0.5cm --dip 0cm=0L,10cm=5.2L,40cm=24L --to l") == about(0.5 * 18.8 / 30.0));
}

TEST_CASE("extract: as-is = dry (1 - M/100), and the grinds' difference where they meet") {
    CHECK(sd("81.5±0.5% --basis fine-dry --moisture 4.2±0.3% --to fine-as-is") ==
          about(std::hypot(0.958 * 0.5, 0.815 * 0.3)));
    CHECK(sd("79.8% --basis coarse-dry --to fine-dry") == about(0.6));
    CHECK(sd("79.8±0.5% --basis coarse-dry --difference 1.5±0.2% --to fine-dry") == about(std::hypot(0.5, 0.2)));
    CHECK_FALSE(said("81.5% --basis fine-dry --moisture 4.2% --to fine-as-is").contains("sd"));
    CHECK_FALSE(said("79.8% --basis coarse-dry --moisture 4% --to coarse-as-is").contains("sd"));
}

TEST_CASE("where the answer bends within the width it says so, and is nearer to the draws than the slope") {
    // half an hour at 80 ± 15 °C: the rate is exponential in 1/T
    const auto minutes = [](const auto& x) {
        return 30.0 * std::exp(11858.0 * (1.0 / 373.15 - 1.0 / (x[0] + 273.15)));
    };
    const Drawn drawn = monte_carlo(minutes, std::array{80.0}, std::array{15.0}, 200000);
    const Json bent = said("30min --stand 80±15C --to boil-minutes");
    CHECK(bent["first_order_enough"] == false);
    CHECK(bent["value"].get<double>() == about(minutes(std::array{80.0})));
    const double first = bent["first_order_sd"], second = bent["sd"];
    CHECK(std::abs(second - drawn.sd) < 0.5 * std::abs(first - drawn.sd));
    CHECK(bent["mean"].get<double>() == about(drawn.mean, 0.03));
    const std::string text = Brewery().done("convert 30min --stand 80±15C --to boil-minutes");
    CHECK(text.find("first order is not enough") != std::string::npos);
    // and says nothing where the line is straight enough
    CHECK_FALSE(said("30min --stand 80±2C --to boil-minutes").contains("first_order_enough"));
    CHECK(Brewery().done("convert 1.048±0.001 --to plato") == "11.92 ± 0.24 °P\n");
}
