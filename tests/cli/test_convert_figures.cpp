// Each figure of wort, malt and hops as convert gives it. Expected values: the published formula or table worked beside
// each.
#include "brewery.hpp"
#include "near.hpp"
#include <cmath>

using namespace lotwort::test;

namespace {

double value(const std::string& line) {
    return Brewery().json("convert " + line)["value"].get<double>();
}

Near about(double expected, double share = 1e-6) {
    return near(expected, share);
}

} // namespace

TEST_CASE("the prism: the polynomial less that of water, and the user's own wort factor") {
    const auto p = [](double n) {
        return ((((11758.74 * n - 88885.21) * n + 270177.93) * n - 413145.80) * n + 318417.95) * n - 99127.4536;
    };
    CHECK(value("1.35 --from index --to brix") == about(p(1.35) - p(1.332986)));
    CHECK(value("1.35 --from index --to plato --wort-factor 1.02") == about((p(1.35) - p(1.332986)) / 1.02));
    CHECK(value("12Bx --to index") == about(1.350934216412, 1e-11)); // SciPy's root
    CHECK(value("11.8Bx --gravity 11.4P --to wort-factor") == about(11.8 / 11.4));
}

TEST_CASE("what a stem shows leads back to the wort, and the correction is their difference") {
    const double mark = value("12P --read-at 40C --stem 60F --to mark");
    CHECK(value(std::to_string(mark) + " --read-at 40C --stem 60F --to plato") == about(12.0, 1e-5));
    CHECK(value("1.048 --read-at 35C --to correction") == about(value("1.048 --read-at 35C --to sg") - 1.048, 1e-9));
}

TEST_CASE("water: Kell at 65 and Tanaka at 20 °C; the boil at 1500 m is 94.98 °C by the steam tables") {
    CHECK(value("20C --to kg/m3") == about(998.2067, 1e-7));
    CHECK(value("65C --to kg/m3") == about(980.55, 1e-5));
    CHECK(value("1500m --to boiling-point") == about(94.98, 1e-4));
    CHECK(value("4921.26ft --to boiling-point") == about(value("1500m --to boiling-point")));
}

TEST_CASE("alcohol: mixtures by OIML R 22, beers of known alcohol by Tabarie and Balling") {
    CHECK(value("100% --from abw --to abv") == about(100.0));
    CHECK(value("40% --from abw --to abv") == about(40.0 * 935.18 / 789.24, 1e-4)); // CRC: 935.18 kg/m3 at 20 °C
    const double apparent = value("4.2P --alcohol 4% --to apparent-extract");
    CHECK(value(std::to_string(apparent) + "P --alcohol 4% --to real-extract") == about(4.2, 1e-5));
    // 2.0665 A + n over 1 + 0.010665 A
    CHECK(value(std::to_string(apparent) + "P --alcohol 4% --to original-extract") ==
          about(100.0 * (2.0665 * 4.0 + 4.2) / (100.0 + 1.0665 * 4.0), 1e-5));
    const double real = 0.1808 * 12.0 + 0.8192 * 3.0;
    CHECK(value("12P --attenuation 75% --to real-extract") == about(real));
    CHECK(value("12P --attenuation 75% --to real-attenuation") == about(100.0 * (12.0 - real) / 12.0));
    CHECK(value("12P --attenuation 75% --to real-degree") ==
          about(100.0 * (12.0 - real) / 12.0 / (1.0 - 0.005161 * real)));
    CHECK(value("12P --attenuation 75% --to final-gravity") == about(value("3P --to sg")));
}

TEST_CASE("published rules stand beside the answer, each by its name") {
    const Json abv = Brewery().json("convert 12P --final 2.5P --to abv --compare");
    CHECK(abv["rules"].size() == 5);
    CHECK(abv["rules"][0]["value"].get<double>() == about(abv["value"], 1e-12));
    // Cutaia's a = 0.372 + 0.00357 OE, of the points of extract that are gone
    const double cutaia = (0.372 + 0.00357 * 12.0) * 9.5;
    CHECK(abv["rules"][1]["value"].get<double>() / abv["value"].get<double>() ==
          about(cutaia / value("12P --final 2.5P --to abw")));
    const Json final_gravity = Brewery().json("convert 12Bx --final 6Bx --wort-factor 1 --to final-gravity");
    CHECK(final_gravity["rules"].size() == 3);
    CHECK(final_gravity["rules"][1]["value"].get<double>() == about(1.0 - 0.00085683 * 12.0 + 0.0034941 * 6.0));
    CHECK(final_gravity["sd"].get<double>() >= 0.002);
    const Json plato = Brewery().json("convert 1.048 --from sg-air --to plato --compare");
    CHECK(plato["rules"][2]["value"].get<double>() == about((463.0 - 205.0 * 1.048) * 0.048));
}

TEST_CASE("blends and dilution: kilograms add, litres do not") {
    CHECK(value("10L --gravity 20P --add 10L --add-gravity 4P --to plato") == about(12.2564364272, 1e-10)); // SciPy
    CHECK(value("10L --gravity 20P --add 10L --add-gravity 4P --to l") == about(19.9977683522, 1e-10));
    const double kg = 20.0 * value("16P --to kg/m3") / 1000.0;
    CHECK(value("20L --gravity 16P --dilute-to 12P --to liquor") ==
          about(kg * (16.0 / 12.0 - 1.0) / value("0P --to kg/m3") * 1000.0));
    CHECK(value("20L --gravity 12P --to extract") == about(20.0 * value("12P --to kg/m3") / 1000.0 * 0.12));
    CHECK(value("3kg --gravity 12P --to l") == about(3.0 / 0.12 / value("12P --to kg/m3") * 1000.0));
    const Json missing =
        Brewery().json("convert 20L --gravity 16P --add 5L --found 25L --found-gravity 12P --to residual");
    CHECK(missing["value"].get<double>() ==
          about(value("25L --gravity 12P --to extract") - value("20L --gravity 16P --to extract")));
    // two beers alike are one of them
    CHECK(value("20L --gravity 4P --alcohol 5% --add 10L --add-gravity 4P --add-alcohol 5% --to abw") == about(5.0));
    CHECK(value("20L --gravity 4P --alcohol 5% --add 10L --add-gravity 1P --add-alcohol 2% --to abw") ==
          about(4.0, 5e-3));
}

TEST_CASE("a dip table is straight between its marks") {
    CHECK(value("23cm --dip 0cm=0L,10cm=5.2L,40cm=24L --to l") == about(5.2 + 13.0 * 18.8 / 30.0));
    CHECK(value("10cm --dip 40cm:24L,0cm:0L,10cm:5.2L --to l") == about(5.2));
}

TEST_CASE("bitterness: Tinseth's table has 0.231 for an hour at 1.050, and stands count by the kinetics") {
    CHECK(value("60min --gravity 1.050 --to utilisation") == about(23.1, 2e-3));
    const double utilisation = value("60min --gravity 1.048 --to utilisation") / 100.0;
    CHECK(value("30g --alpha 10% --boil 60min --volume 20L --gravity 1.048 --to ibu") == about(utilisation * 150.0));
    CHECK(value("25IBU --alpha 10% --boil 60min --volume 20L --gravity 1.048 --to g") == about(5.0 / utilisation));
    const double worth = 30.0 * std::exp(11858.0 * (1.0 / 373.15 - 1.0 / 353.15));
    CHECK(value("30min@80C --to boil-minutes") == about(worth));
    CHECK(value("0min:80C,30min:80C --to boil-minutes") == about(worth));
    CHECK(value("0min:100C,30min:20C --to boil-minutes") == about(4.149115)); // R, integrate
    CHECK(value("30g --alpha 10% --stand 30min@80C --volume 20L --gravity 1.048 --to ibu") ==
          about(value("30g --alpha 10% --boil " + std::to_string(worth) + "min --volume 20L --gravity 1.048 --to ibu"),
                1e-5));
    CHECK(value("40IBU --gravity 1.050 --to bitterness-ratio") == about(0.8));
    CHECK(value("80g --volume 20L --to g/l") == about(4.0));
    CHECK(value("0.6 --from a275 --to ibu") == about(30.0));
    // an hour's boil at 1500 m is an hour of that boil, and less of the sea's
    CHECK(value("60min --stand 94.98C --altitude 1500m --to boil-minutes") == about(60.0, 1e-3));
    CHECK(value("60min --stand 94.98C --to boil-minutes") == about(38.9, 2e-3));
}

TEST_CASE("hops: by the storage index, by the calendar, and their oil") {
    const auto lost = [](double hsi) { return 110.0 * std::log10(hsi / 0.25); };
    CHECK(value("0.4 --from hsi --to lost") == about(lost(0.4)));
    CHECK(value("11% --to alpha --hsi 0.4 --hsi-then 0.3") == about(11.0 * (100.0 - lost(0.4)) / (100.0 - lost(0.3))));
    CHECK(value("11% --to alpha --days 90days --storage 5C --packaging vacuum --lost 50%") ==
          about(11.0 * std::exp(std::log(0.5) / 180.0 * 0.5 * 0.5 * 90.0)));
    CHECK(value("100g --oil 1.2 --to ml") == about(1.2));
}

TEST_CASE("malt: the laboratories' figures, diastatic power and modification") {
    CHECK(value("80% --to iob") == about((80.0 - 1.705) / 0.2586));
    CHECK(value("302.76489L/kg --to congress") == about(80.0));
    CHECK(value("8.5P --moisture 4.5% --to congress-extract") == about(8.5 * 804.5 / 91.5));
    CHECK(value("77.8% --moisture 4.5% --to congress-wort") == about(8.817862, 1e-5));
    CHECK(value("250WK --to lintner") == about(76.0));
    CHECK(value("70 --from lintner --to wk") == about(229.0));
    CHECK(value("1.0% --to modification") == 1.0);
    CHECK(value("2.3% --to modification") == 3.0);
    CHECK(value("90 --from g/l --to litre-degrees") == about(385.35, 1e-4));
    const Json noonan = Brewery().json("convert 78% --basis coarse-dry --moisture 3.5% --to coarse-as-is --compare");
    CHECK(noonan["value"].get<double>() == about(75.27));
    CHECK(noonan["rules"][0]["value"].get<double>() == about(75.162319)); // evaluated in R
}

TEST_CASE("colour: what a malt gives the beer, by Morey, and the spectrophotometer's two scales") {
    const double lovibond = (7.0 / 1.97 + 0.76) / 1.3546;
    const double units = 5.0 / 0.45359237 * lovibond / (20.0 / 3.785411784);
    CHECK(value("5kg --colour 7EBC --volume 20L --to mcu") == about(units));
    CHECK(value("5kg --colour 7EBC --volume 20L --to srm") == about(1.4922 * std::pow(units, 0.6859)));
    CHECK(value("12EBC --to mcu") == about(std::pow(12.0 / 1.97 / 1.4922, 1.0 / 0.6859)));
    CHECK(value("0.4 --from a430 --to ebc") == about(10.0));
    CHECK(value("0.4 --from a430 --to srm") == about(5.08));
}

TEST_CASE("instruments: the Guide's divisors") {
    const Json stem = Brewery().json("convert 0.002 --from division --limit 0.001 --to sd");
    CHECK(stem["value"].get<double>() == about(0.001 / std::sqrt(3.0)));
    CHECK(stem["bias_sd"].get<double>() == about(0.001 / std::sqrt(3.0)));
    CHECK(value("0.1 --from digit --to sd") == about(0.1 / std::sqrt(12.0)));
    CHECK(value("0.5 --from middle --to sd") == about(0.5 / std::sqrt(6.0)));
    CHECK(value("0.4 --from limit --to sd") == about(0.4 / std::sqrt(3.0)));
    CHECK(value("1.3 --from r95 --to sd") == about(1.3 / (1.959964 * std::sqrt(2.0))));
}
