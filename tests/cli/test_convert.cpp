// convert, as typed. Expected figures are published formulas or exact definitions, worked beside each.
#include "brewery.hpp"
#include "near.hpp"
#include <cmath>

using namespace lotwort::test;

namespace {

double value(const std::string& line) {
    const Json said = Brewery().json("convert " + line);
    CHECK(said["schema"] == "lotwort/convert/1");
    return said["value"].get<double>();
}

std::string unit(const std::string& line) {
    return Brewery().json("convert " + line)["unit"].get<std::string>();
}

void refused(const std::string& line, const std::string& message) {
    const Said said = Brewery().run("convert " + line);
    CHECK(said.status == 1);
    CHECK(said.error == message);
    CHECK_FALSE(said.hint.empty());
}

} // namespace

TEST_CASE("gravity: the ASBC cubic 135.997 S^3 - 630.272 S^2 + 1111.14 S - 616.868 at 1.048, weighed in air") {
    CHECK(value("1.048 --from sg-air --to plato") == near(11.912, 0.006 / 11.912));
    CHECK(value("11.912P --to sg-air") == near(1.048, 2e-5));
    CHECK(unit("1.048 --to plato") == "plato");
    CHECK(unit("12P --to sg") == "sg");
}

TEST_CASE("gravity there and back is where it was") {
    CHECK(value(std::to_string(value("1.0625 --to plato")) + "P --to sg") == near(1.0625, 1e-8));
    CHECK(value("12P --to kg/m3") / value("0P --to kg/m3") == near(value("12P --to sg"), 1e-12));
}

TEST_CASE("a warm sample reads low: NBS C440, add 0.63 % by mass at 30 C on a 20 C stem near 10 %") {
    const double mark = value("10P --read-at 30C --stem 20C --to plato");
    CHECK(mark == near(10.63, 0.035 / 10.63));
    CHECK(value("1.048 --read-at 20C --stem 20C --to sg") == near(1.048, 1e-9));
    CHECK(value("1.048@35C --to sg") == value("1.048 --read-at 35C --stem 20C --to sg"));
}

TEST_CASE("hot liquor shrinks: Kell 1975, 0.963631 from 95 C to 20 C") {
    CHECK(value("30L --at 95C --to 20C") == near(30 * 0.963631, 2e-5));
    CHECK(value("30L@95C --to 20C") == value("30L --at 95C --to 20C"));
    CHECK(unit("30L@95C --to 20C") == "l");
}

TEST_CASE("extract: 81.5 % fine-dry at 4.2 % moisture is 78.077 % as is, times 385.35 litre-degrees") {
    CHECK(value("81.5% --basis fine-dry --moisture 4.2% --to l-per-kg") == near(0.815 * 0.958 * 385.35));
    CHECK(unit("81.5% --basis fine-dry --moisture 4.2% --to l-per-kg") == "l-per-kg");
    CHECK(value("81.5% --basis fine-dry --moisture 4.2% --to fine-as-is") == near(78.077));
    CHECK(value("79.8% --basis coarse-dry --to fine-dry") == near(81.5)); // 1.7 points apart
    CHECK(value("36ppg --basis fine-dry --to l-per-kg-fine-dry") == near(36 * 8.345404, 1e-6));
}

TEST_CASE("colour: EBC = 1.97 SRM; malt L = (EBC/1.97 + 0.76)/1.3546") {
    CHECK(value("6EBC --to srm") == near(6 / 1.97));
    CHECK(value("3L --to ebc") == near(1.97 * (1.3546 * 3 - 0.76)));
    CHECK(value("3.5SRM --to ebc") == near(3.5 * 1.97));
    CHECK(value("6EBC --to l") == near((6 / 1.97 + 0.76) / 1.3546));
}

TEST_CASE("units by their definitions") {
    CHECK(value("55lb --to kg") == near(55 * 0.45359237, 1e-12));
    CHECK(value("5gal(US) --to l") == near(5 * 3.785411784, 1e-12));
    CHECK(value("20L --to gal(UK)") == near(20 / 4.54609, 1e-12));
    CHECK(value("149F --to c") == near(65.0));
    CHECK(value("65C --to f") == near(149.0));
    CHECK(value("90min --to h") == near(1.5));
}

TEST_CASE("refractometer: Brix is plato times the wort correction") {
    CHECK(value("11.8Bx --to plato --wort-factor 1") == near(11.8));
    CHECK(value("11.8Bx --to plato --wort-factor 1.03") == near(11.8 / 1.03));
    CHECK(Brewery().done("convert 11.8Bx --to plato").find("wort correction taken as 1.04") != std::string::npos);
}

TEST_CASE("alcohol by Balling, by hand: 12 P to 2.5 P") {
    // n = 0.1808*12 + 0.8192*2.5 = 4.2176;  A = (12 - 4.2176)/(2.0665 - 0.010665*12) = 4.01465
    CHECK(value("12P --final 2.5P --to real-extract") == near(4.2176));
    CHECK(value("12P --final 2.5P --to abw") == near(7.7824 / 1.93852));
    CHECK(value("12P --final 2.5P --to attenuation") == near(100 * 9.5 / 12));
}

TEST_CASE("hops age by Garetz: k = -ln(0.65)/180 a day at 20 C unpacked, halved every 15 C colder") {
    // 90 days at 5 C under vacuum: exp(-k * 0.5 * 0.5 * 90)
    const double left = std::exp(std::log(0.65) / 180.0 * 0.5 * 0.5 * 90.0);
    CHECK(value("11% --to alpha --analysed 2025-10-03 --on 2026-01-01 --storage 5C --packaging vacuum") ==
          near(11.0 * left, 0.002));
    CHECK(value("11% --to alpha --analysed 2026-01-01 --on 2026-01-01") == near(11.0));
    const Json said = Brewery().json("convert 11% --to alpha --analysed 2025-10-03 --on 2026-01-01");
    CHECK(said["sd"].get<double>() > 0.0);
}

TEST_CASE("two refractometer readings give a final gravity as an estimate, by Terrill's cubic") {
    // 12 and 6 Bx at a wort factor of 1: 1 - 0.0044993*12 + 0.00027581*144 - 0.0000072800*1728
    //                                     + 0.011774*6 - 0.0012717*36 + 0.000063293*216
    const double final_gravity = 1.0 - 0.0539916 + 0.03971664 - 0.01257984 + 0.070644 - 0.0457812 + 0.013671288;
    const double by_hand = value(std::to_string(final_gravity) + " --to plato");
    CHECK(value("12Bx --final 6Bx --wort-factor 1 --to attenuation") == near(100.0 * (12.0 - by_hand) / 12.0, 1e-4));
}

TEST_CASE("what cannot be converted is refused, with what to type") {
    refused("1.5 --to plato", "`1.5` is a number without a unit");
    refused("12P --to kg", "12P does not turn into kg");
    refused("12P --to parsec", "`parsec` is nothing to convert to");
    refused("30L --to 20C", "at what temperature are the 30L?");
    refused("81.5% --to l-per-kg", "the extract's basis is not said");
    refused("81.5% --basis fine-dry --to l-per-kg",
            "dry and as-is extract differ by the malt's moisture, and it is not said");
    refused("12P --to abv", "abv follows from two gravities");
    refused("11P --to alpha", "11P is no alpha acid");
    refused("11% --to alpha", "a hop ages from its analysis on, and that day is not said");
    refused("11.8Bx --read-at 30C --to plato", "--read-at is the temperature of a hydrometer's sample");
    refused("1.048 --from sg-70f --to plato", "`sg-70f` is no kind of specific gravity");
    CHECK(Brewery().run("convert 1.048").status == 2);
}
