// Bitterness in the forecast: boil, stand and altitude by the same curve and the same kinetics.
#include "near.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/bitterness.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

Brewhouse garage(double altitude_m) {
    Brewhouse b;
    b.name = "garage";
    b.volume = Litres(23.0);
    b.altitude = Metres(altitude_m);
    return b;
}

Recipe pale_ale() {
    Recipe r;
    r.name = "pale ale";
    r.volume = Litres(23.0);
    r.boil = Minutes(60.0);
    return r;
}

PlannedHop hop(Stage stage, double minutes, std::optional<Celsius> temperature = std::nullopt) {
    return {"bittering hop", stage, Minutes(minutes), Grams(40.0), Figure{10.0, 0.3, Origin::certificate}, temperature};
}

Estimate bitterness(const std::vector<PlannedHop>& hops, double altitude_m = 0.0) {
    Item malt;
    malt.name = "pale ale malt";
    malt.malt_class = "base";
    const std::vector<PlannedMalt> malts{{malt.name, Kilograms(5.0), malt_figures(malt)}};
    return forecast(pale_ale(), Litres(23.0), kit_of(garage(altitude_m)), malts, hops, Kilograms(0.0)).bitterness_ibu;
}

} // namespace

TEST_CASE("half an hour in a stand at 80 C is a quarter of half an hour's boil, and less certain") {
    const auto boiled = bitterness({hop(Stage::boil, 30.0)});
    const auto stood = bitterness({hop(Stage::stand, 30.0, Celsius(80.0))});
    // 30 min at 80 C are worth 4.97 min of boil at the sea: (1 - exp(-0.04 * 4.97))/(1 - exp(-1.2))
    CHECK(stood.value / boiled.value == near(0.2582, 0.01));
    CHECK(stood.sd / stood.value > boiled.sd / boiled.value);
    // a stand nobody gave a temperature is taken at 85 C, and is wider
    const auto somewhere = bitterness({hop(Stage::stand, 30.0)});
    CHECK(somewhere.value > stood.value);
    CHECK(somewhere.sd / somewhere.value > stood.sd / stood.value);
}

TEST_CASE("what was boiled stays in the stand, and goes on giving") {
    const auto boiled = bitterness({hop(Stage::boil, 30.0)});
    const auto stood = bitterness({hop(Stage::stand, 30.0, Celsius(80.0))});
    const auto both = bitterness({hop(Stage::boil, 30.0), hop(Stage::stand, 30.0, Celsius(80.0))});
    // by hand: 30 min and the 4.97 of the stand, (1 - exp(-0.04 * 34.97))/(1 - exp(-1.2)); both hops hold wort back
    CHECK((both.value - stood.value) / boiled.value == near(1.0777, 0.01));
}

TEST_CASE("stands follow one another from hot to cold, and what went into one stays for the next") {
    const std::vector<PlannedHop> hops{hop(Stage::stand, 20.0, Celsius(75.0)), hop(Stage::stand, 10.0, Celsius(90.0)),
                                       hop(Stage::stand, 15.0, Celsius(90.0)), hop(Stage::boil, 60.0)};
    const std::vector<Stand> stands = stands_of(hops);
    CHECK(stands == std::vector<Stand>{{Minutes(15.0), Celsius(90.0)}, {Minutes(20.0), Celsius(75.0)}});
    const auto worth = [&](Stage stage, double minutes, std::optional<Celsius> at, const std::vector<Stand>& after) {
        return hop_minutes(stage, Minutes(minutes), at, wort::boiling_point(), after).minutes.value();
    };
    const double hot = worth(Stage::stand, 15.0, Celsius(90.0), {}),
                 warm = worth(Stage::stand, 20.0, Celsius(75.0), {});
    CHECK(worth(Stage::stand, 10.0, Celsius(90.0), stands) == near(hot * 10.0 / 15.0 + warm, 1e-9));
    CHECK(worth(Stage::stand, 20.0, Celsius(75.0), stands) == near(warm, 1e-9)); // the hotter one was before
    CHECK(worth(Stage::boil, 60.0, {}, stands) == near(60.0 + hot + warm, 1e-9));
    CHECK(worth(Stage::dry, 60.0, {}, stands) == 0.0);
}

TEST_CASE("bitterness is that of the litres the hops boil in: trub and hops keep their share of it back") {
    Item malt;
    malt.name = "pale ale malt";
    malt.malt_class = "base";
    const std::vector<PlannedMalt> malts{{malt.name, Kilograms(5.0), malt_figures(malt)}};
    const Forecast f =
        forecast(pale_ale(), Litres(23.0), kit_of(garage(0.0)), malts, {hop(Stage::boil, 60.0)}, Kilograms(0.0));
    // TINSETH: mg/L of added alpha acids = decimal alpha * grams * 1000 / litres of wort
    const double utilisation = wort::utilisation(f.boil_gravity, Minutes(60.0));
    CHECK(f.bitterness_ibu.value == near(utilisation * 0.10 * 40.0 * 1000.0 / f.cast_out_l, 1e-9));
    CHECK(f.cast_out_l > f.volume_l.value + 0.5);
}

TEST_CASE("the hops of a published example: 1.5 oz of 6.4 % for 25 IBU in 5 gallons boiled at 1.080") {
    HopLine line; // PALMER, ch. 5; the book rounds to whole units
    line.item = "bittering hop";
    line.minutes = Minutes(60.0);
    line.bitterness = BitternessUnits(25.0);
    const Figure alpha{6.4, 0.3, Origin::certificate};
    const Grams mass = hop_mass(pale_ale(), line, Litres(18.93), alpha, {SpecificGravity(1.080), Litres(18.93)});
    CHECK(mass.value() == near(1.5 * 28.3495, 0.02));
}

TEST_CASE("dry hops and mash hops give the boil no bitterness") {
    CHECK(bitterness({hop(Stage::dry, 0.0)}).value == 0.0);
    CHECK(bitterness({hop(Stage::mash, 60.0)}).value == 0.0);
    CHECK(bitterness({hop(Stage::fermenter, 60.0)}).value == 0.0);
}

TEST_CASE("up the hill an hour's boil gives less, and a stand cannot be hotter than the boil") {
    const auto sea = bitterness({hop(Stage::boil, 60.0)}), hill = bitterness({hop(Stage::boil, 60.0)}, 1500.0);
    // 60 min at 94.98 C are worth 39.0 min: (1 - exp(-1.56))/(1 - exp(-2.4)) = 0.8691
    CHECK(hill.value / sea.value == near(0.869, 0.003));
    CHECK(bitterness({hop(Stage::stand, 20.0, Celsius(99.0))}, 1500.0).value ==
          near(bitterness({hop(Stage::boil, 20.0)}, 1500.0).value));
    CHECK(hop_minutes(Stage::boil, Minutes(60.0), {}, wort::boiling_point()).minutes.value() == near(60.0, 1e-12));
}

TEST_CASE("hops asked for by bitterness are more up the hill") {
    HopLine line;
    line.item = "bittering hop";
    line.minutes = Minutes(60.0);
    line.bitterness = BitternessUnits(30.0);
    const Figure alpha{10.0, 0.3, Origin::certificate};
    const SpecificGravity gravity(1.045);
    const Boil boil{gravity, Litres(24.0)};
    const Grams sea = hop_mass(pale_ale(), line, Litres(23.0), alpha, boil);
    const Grams hill = hop_mass(pale_ale(), line, Litres(23.0), alpha, boil, wort::boiling_point(Metres(1500.0)));
    CHECK(hill / sea == near(1.0 / 0.869, 0.003));
    CHECK(wort::bitterness(sea, Percent(10.0), wort::utilisation(gravity, Minutes(60.0)), boil.volume).value() ==
          near(30.0));
    line.stage = Stage::stand;
    CHECK_THROWS_AS((void)hop_mass(pale_ale(), line, Litres(23.0), alpha, boil), Error);
}
