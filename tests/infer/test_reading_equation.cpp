// A reading as an equation: what was read, in which unit, and how far it may be out, by hand.
#include "near.hpp"
#include "reconcile/brew_problem.hpp"
#include "reconcile/reading_equation.hpp"
#include "reconcile/reading_figure.hpp"
#include "reconcile/readings.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/infer/reading_meaning.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/hydrometer.hpp>

using namespace lotwort;
using namespace lotwort::infer_detail;
using lotwort::test::near;

namespace {

Instrument instrument(InstrumentKind kind, const char* unit) {
    Instrument made;
    made.name = "it";
    made.kind = kind;
    made.unit = unit;
    made.calibration = Celsius(20.0);
    return made;
}

ReconcileInput with(const Instrument& one) {
    ReconcileInput in;
    in.brewhouse.name = "main";
    in.brewhouse.volume = Litres(23.0);
    in.instruments = {one};
    return in;
}

Reading gravity(double sg) {
    Reading r;
    r.id = "r1";
    r.point = ReadingPoint::kettle_full;
    r.gravity_sg = SpecificGravity(sg);
    r.gravity_instrument = "it";
    return r;
}

BrewEquation of_gravity(const Instrument& one, double sg = 1.048) {
    return *gravity_equation(with(one), gravity(sg), infer_detail::Quantity::kettle_full);
}

Reading volume(ReadingPoint point, double litres, double at_c, std::optional<int> run = std::nullopt) {
    Reading r;
    r.id = "v";
    r.point = point;
    r.volume = Litres(litres);
    r.volume_at = Celsius(at_c);
    r.volume_instrument = "it";
    r.run = run;
    return r;
}

Instrument marks() {
    Instrument made = instrument(InstrumentKind::volume_marks, "l");
    made.repeatability = 0.1;
    made.bias_sd = 0.2;
    return made;
}

// The equations of a brew of one mash whose grain weighs 5 kg dry.
BrewModel read(std::vector<Reading> readings) {
    ReconcileInput in = with(marks());
    in.brew.readings = std::move(readings);
    BrewModel model;
    model.brews.emplace_back().mashes = {{0.2, 5.0, 2.0}};
    add_readings(in, kit_of(in.brewhouse), 0, model);
    return model;
}

} // namespace

TEST_CASE("a stem's figure in per cent is of the points above one, its step over root twelve") {
    Instrument stem = instrument(InstrumentKind::hydrometer, "sg");
    stem.repeatability_pct = 1.0;
    stem.bias_sd_pct = 2.0;
    CHECK(of_gravity(stem).own_sd == near(0.00048)); // a hundredth of 48 points
    CHECK(of_gravity(stem).bias_sd == near(0.00096));
    stem.repeatability_pct.reset();
    stem.resolution = 0.002;
    CHECK(of_gravity(stem).own_sd == near(0.00057735)); // 0.002/sqrt(12)
}

TEST_CASE("a stem stated in degrees is a four-thousandth a degree on the other scale") {
    Instrument stem = instrument(InstrumentKind::hydrometer, "plato");
    stem.repeatability = 0.1;
    stem.bias_sd = 0.2;
    CHECK(of_gravity(stem).own_sd == near(0.0004));
    CHECK(of_gravity(stem).bias_sd == near(0.0008));
}

TEST_CASE("a balance in grams is corrected by grams") {
    Instrument scale = instrument(InstrumentKind::balance, "g");
    scale.repeatability = 1.0;
    scale.correction = 2.0;
    Reading r;
    r.id = "m";
    r.point = ReadingPoint::kettle_full;
    r.mass = Kilograms(20.0);
    r.volume_instrument = "it";
    const auto e = volume_equation(with(scale), r, infer_detail::Quantity::kettle_full);
    CHECK(e->observed == near(20.002, 1e-9));
    CHECK(e->own_sd == near(0.001));
}

TEST_CASE("a stick may be read at its last mark") {
    ReconcileInput in = with(marks());
    Vessel kettle;
    kettle.point = ReadingPoint::kettle_full;
    kettle.dip_table = {{Centimetres(0.0), Litres(0.0)}, {Centimetres(50.0), Litres(60.0)}};
    in.brewhouse.vessels = {kettle};
    Reading r;
    r.id = "d";
    r.point = ReadingPoint::kettle_full;
    r.depth = Centimetres(50.0);
    CHECK(volume_equation(in, r, infer_detail::Quantity::kettle_full)->observed == near(60.0));
}

TEST_CASE("hot walls hold more than their marks say") {
    BrewEquation e;
    e.observed = 30.0;
    e.at_c = 95.0;
    e.expansion_per_c = 5e-5;
    CHECK(litres_behind(e, 0.0).first.value == near(30.0 * (1.0 + 5e-5 * 75.0), 1e-9));
}

TEST_CASE("a sample warmer than sixty degrees has lost a tenth of what it is warmer by") {
    for (const double at : {70.0, 85.0}) {
        Instrument stem = instrument(InstrumentKind::hydrometer, "sg");
        stem.repeatability = 0.001;
        BrewEquation e = of_gravity(stem, 1.02);
        e.at_c = at;
        const double w = plato_behind(e).value / 100.0;
        const double a_degree =
            wort::hydrometer_mark_of(w, at + 0.5, 20.0) - wort::hydrometer_mark_of(w, at - 0.5, 20.0);
        CHECK(warm_sample_sd(e) == near(std::abs(a_degree) * 0.1 * (at - 60.0), 1e-3));
    }
}

TEST_CASE("liquor read run by run is one reading of the sum: scatter adds by squares, the marks' bias plainly") {
    const BrewModel model =
        read({volume(ReadingPoint::sparge_liquor, 10.0, 75.0, 1), volume(ReadingPoint::sparge_liquor, 6.0, 75.0, 2)});
    REQUIRE(model.equations.size() == 1);
    const double cold = wort::sucrose_density_kg_m3(0.0, 75.0) / wort::sucrose_density_kg_m3(0.0, 20.0);
    CHECK(model.equations[0].observed == near(16.0 * cold, 1e-9));
    CHECK(model.equations[0].own_sd == near(std::sqrt(2.0) * 0.1 * cold, 1e-9));
    CHECK(model.equations[0].bias_sd == near(2.0 * 0.2 * cold, 1e-9));
}

TEST_CASE("a mash read with its grain is known to four hundredths of a litre a kilogram, and its wort is first wort") {
    Reading r = volume(ReadingPoint::mash, 20.0, 20.0);
    r.gravity_sg = SpecificGravity(1.08);
    const BrewModel model = read({r});
    REQUIRE(model.equations.size() == 2);
    CHECK(model.equations[0].quantity == infer_detail::Quantity::mash);
    CHECK(model.equations[0].own_sd == near(std::hypot(0.1, 0.2))); // 5 kg at 0.04
    CHECK(model.equations[1].quantity == infer_detail::Quantity::first_wort);
}

TEST_CASE("what a reading holds of extract errs by its litres and by its degrees") {
    Instrument stem = instrument(InstrumentKind::hydrometer, "sg");
    stem.repeatability = 0.001;
    Reading r = gravity(1.048);
    r.volume = Litres(20.0);
    const ReadingMeaning m = meaning_of(r, with(stem).brewhouse, {stem});
    const double kg = m.extract_kg->value, w = m.extract_plato->value / 100.0;
    // V w rho: a hundredth of w more is a hundredth of it, and 4 per mille more for the density that rises with it
    const double by_w = kg * (m.extract_plato->sd / 100.0 / w) * 1.048;
    CHECK(m.extract_kg->sd == near(std::hypot(kg * m.volume_20c_l->sd / m.volume_20c_l->value, by_w), 0.02));
}

TEST_CASE("beer booked at the fermenter is noticed, and a final gravity that is the original") {
    Recipe recipe;
    recipe.original_gravity = SpecificGravity(1.048);
    Reading og = gravity(1.048), beer = gravity(1.011);
    og.id = "og";
    beer.id = "fg";
    og.point = beer.point = ReadingPoint::fermenter;
    og.gravity_instrument.reset();
    beer.gravity_instrument.reset();
    const auto said = [&](const std::vector<Reading>& read) {
        return gravity_doubts(read, {}, recipe, with(marks()).brewhouse, {}).size();
    };
    CHECK(said({og}) == 0);
    CHECK(said({beer}) == 1);
    beer.point = ReadingPoint::final_beer;
    CHECK(said({og, beer}) == 0);
    beer.gravity_sg = og.gravity_sg;
    CHECK(said({og, beer}) == 1);
}
