// What a brewer at the kettle asks of the day's sheet.
#include "near.hpp"
#include "small_store.hpp"
#include <doctest/doctest.h>
#include <lotwort/brew/sheet_guide.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/volume.hpp>

using namespace lotwort;
using namespace lotwort::test;

namespace {

PlanRequest dry_hopped(const char* on) {
    PlanRequest request;
    request.code = "P1";
    request.date = day(on);
    request.volume = Litres(23.0);
    request.brewhouse.name = "garage";
    request.brewhouse.volume = Litres(23.0);
    request.items = {item("pale ale malt", ItemKind::malt, "base"), item("aroma hop", ItemKind::hop)};
    request.lots = {lot("PAM-1", "pale ale malt", 25.0), lot("AH-1", "aroma hop", 0.5)};
    request.recipe.name = "pale ale";
    request.recipe.volume = Litres(23.0);
    request.recipe.boil = Minutes(90.0);
    request.recipe.mash_rest = Celsius(66.0);
    request.recipe.grist = {{"pale ale malt", {}, Kilograms(5.0)}};
    HopLine hop;
    hop.item = "aroma hop";
    hop.stage = Stage::dry;
    hop.days = 4;
    hop.mass = Grams(50.0);
    request.recipe.hops = {hop};
    return request;
}

Vessel kettle(double full_l) {
    Vessel vessel;
    vessel.point = ReadingPoint::kettle_full;
    vessel.dip_table = {
        {Centimetres(5.0), Litres(5.0)}, {Centimetres(15.0), Litres(25.0)}, {Centimetres(25.0), Litres(full_l)}};
    return vessel;
}

} // namespace

TEST_CASE("a dip table is read backwards, and not beyond its ends") {
    const Vessel vessel = kettle(50.0);
    CHECK(depth_of(vessel, Litres(5.0))->value() == near(5.0, 0.0, 1e-12));
    CHECK(depth_of(vessel, Litres(15.0))->value() == near(10.0, 0.0, 1e-12));
    CHECK(depth_of(vessel, Litres(50.0))->value() == near(25.0, 0.0, 1e-12));
    CHECK_FALSE(depth_of(vessel, Litres(4.9)));
    CHECK_FALSE(depth_of(vessel, Litres(50.1)));
    CHECK_FALSE(depth_of(Vessel{}, Litres(20.0)));
}

TEST_CASE("the stick is read of wort as hot as it is then") {
    PlanRequest request = dry_hopped("2026-03-01");
    request.brewhouse.vessels = {kettle(50.0)};
    const PlannedBrew planned = draw_up_plan(request);
    const SheetGuide guide = sheet_guide(planned, request.brewhouse, {});
    REQUIRE(guide.depths.size() == 1);
    const double cold_cm = depth_of(kettle(50.0), Litres(planned.forecast.kettle_full_l))->value();
    const double cm_per_l = 10.0 / 25.0; // above 25 L
    const double grown = guide.depths.front().depth.value() - cold_cm;
    CHECK(grown > 0.015 * planned.forecast.kettle_full_l * cm_per_l); // water grows 2.4 % from 20 to 75 °C
    CHECK(grown < 0.030 * planned.forecast.kettle_full_l * cm_per_l);
    request.brewhouse.vessels = {kettle(26.0)}; // the kettle overflows: no depth is made up
    CHECK(sheet_guide(planned, request.brewhouse, {}).depths.empty());
}

TEST_CASE("what is done at the kettle brings the planned strength") {
    const PlanRequest request = dry_hopped("2026-03-01");
    const PlannedBrew planned = draw_up_plan(request);
    const Forecast& f = planned.forecast;
    const SheetGuide guide = sheet_guide(planned, request.brewhouse, {});
    REQUIRE(guide.mends.size() == 4);
    const double boiled_l_per_min = f.means.boil_off_l / 90.0;
    for (const KettleMend& mend : guide.mends) {
        CAPTURE(mend.read.value());
        // extract stays, water goes: what the boil leaves is as strong as the recipe's wort
        const double fraction = wort::mass_fraction_of_gravity(mend.read.value());
        const double read_kg = f.kettle_full_l * mend.read.value() * 0.998203; // water weighs that at 20 °C
        const double water_kg =
            (std::max(mend.water_l, 0.0) - f.means.boil_off_l - mend.minutes * boiled_l_per_min) * 0.998203;
        const double strength = fraction * read_kg / (read_kg + water_kg);
        CHECK(wort::specific_gravity_of(strength) == near(f.original_gravity_sg.value, 0.0, 2e-5));
        CHECK((mend.water_l > 0.0) == (mend.read > guide.kettle_gravity));
        CHECK((mend.minutes > 0.0) == (mend.read < guide.kettle_gravity));
    }
}

// By hand: 5 kg of malt bring their extract and their moisture, 0.9982 kg weighs a litre of water at 20 °C.
TEST_CASE("the gravities at the other points are those of the balance") {
    PlanRequest request = dry_hopped("2026-03-01");
    request.brewhouse.sparge = Sparge::batch;
    const PlannedBrew planned = draw_up_plan(request);
    const Forecast& f = planned.forecast;
    const SheetGuide guide = sheet_guide(planned, request.brewhouse, {});
    REQUIRE(guide.first_wort_gravity);
    const double dissolved = f.means.extract_kg * f.means.malt_factor * f.means.conversion;
    const double fraction = dissolved / (dissolved + f.means.moisture_kg + 0.998203 * f.strike_liquor_l);
    CHECK(wort::mass_fraction_of_gravity(guide.first_wort_gravity->value()) == near(fraction, 0.0, 1e-5));
    // what was dissolved is in the kettle or in the grain
    REQUIRE(guide.last_runnings_gravity);
    const double in_grain = wort::mass_fraction_of_gravity(guide.last_runnings_gravity->value()) *
                            guide.last_runnings_gravity->value() * 0.998203 * f.means.retained_l;
    const double in_kettle = wort::mass_fraction_of_gravity(guide.kettle_gravity.value()) *
                             guide.kettle_gravity.value() * 0.998203 * f.kettle_full_l;
    CHECK(in_grain + in_kettle == near(dissolved, 0.0, 5e-3));
    // no sugar and no top-up: the fermenter has the cast-out's wort
    CHECK(guide.cast_out_gravity->value() == near(f.original_gravity_sg.value, 0.0, 2e-5));
    request.brewhouse.sparge = Sparge::continuous;
    CHECK_FALSE(sheet_guide(draw_up_plan(request), request.brewhouse, {}).last_runnings_gravity);
}

TEST_CASE("at cast-out water is added, or boiled off, to the planned strength") {
    const PlanRequest request = dry_hopped("2026-03-01");
    const PlannedBrew planned = draw_up_plan(request);
    const Forecast& f = planned.forecast;
    const SheetGuide guide = sheet_guide(planned, request.brewhouse, {});
    REQUIRE(guide.cast_out_mends.size() == 2);
    for (const KettleMend& mend : guide.cast_out_mends) {
        CAPTURE(mend.read.value());
        const double extract_kg = wort::mass_fraction_of_gravity(mend.read.value()) * f.cast_out_l * mend.read.value();
        const double wort_kg = f.cast_out_l * mend.read.value() + mend.water_l;
        CHECK(wort::specific_gravity_of(extract_kg / wort_kg) == near(f.original_gravity_sg.value, 0.0, 2e-5));
        CHECK((mend.minutes > 0.0) == (mend.water_l < 0.0));
        if (mend.minutes > 0.0) CHECK(mend.minutes * f.means.boil_off_l / 90.0 == near(-mend.water_l, 0.0, 1e-9));
    }
    // points above water thin out with the volume: 0.001 of 0.050 in 23 L is a fiftieth of 23 L
    const double points = f.original_gravity_sg.value - 1.0;
    const double thinned = (points + 0.001) * f.volume_l.value / (f.volume_l.value + guide.fermenter_water_l);
    CHECK(thinned == near(points, 0.0, 1e-6));
}

TEST_CASE("the strike goes by the grain that is told, or by the season") {
    const PlanRequest winter = dry_hopped("2026-01-10"), summer = dry_hopped("2026-07-10");
    const PlannedBrew cold = draw_up_plan(winter), warm = draw_up_plan(summer);
    CHECK(sheet_guide(cold, winter.brewhouse, {}).grain == Celsius(12.0));
    CHECK(sheet_guide(warm, summer.brewhouse, {}).grain == Celsius(20.0));
    CHECK(*sheet_guide(cold, winter.brewhouse, {}).strike == *cold.strike_temperature);
    // 8 K colder grain, 0.41 L/kg over 3 L/kg
    const double ratio = cold.forecast.strike_liquor_l / 5.0;
    CHECK(cold.strike_temperature->value() - warm.strike_temperature->value() == near(0.41 / ratio * 8.0, 0.0, 1e-9));
    CHECK(*sheet_guide(cold, winter.brewhouse, Celsius(20.0)).strike == *warm.strike_temperature);
}

TEST_CASE("a dry hop goes in as many days before packaging as it lies") {
    const PlanRequest request = dry_hopped("2026-03-01");
    const SheetGuide guide = sheet_guide(draw_up_plan(request), request.brewhouse, {});
    REQUIRE(guide.dry_hops.size() == 1);
    CHECK(guide.packaged == day("2026-03-15"));
    CHECK(guide.dry_hops.front().in == day("2026-03-11"));
    CHECK(guide.dry_hops.front().days == 4);
}

// Two litres more of the same extract are two litres of water more to drive off: at the forecast's own rate.
TEST_CASE("a kettle that is over is boiled longer, by what is over") {
    const PlanRequest request = dry_hopped("2026-03-01");
    const PlannedBrew planned = draw_up_plan(request);
    const Forecast& f = planned.forecast;
    const SheetGuide guide = sheet_guide(planned, request.brewhouse, {});
    const Litres full(f.kettle_full_l);
    const auto as_planned = kettle_mend(planned, guide.kettle_gravity, full);
    REQUIRE(as_planned);
    CHECK(as_planned->water_l == near(0.0, 0.0, 0.01));
    // points of gravity times litres stay the same, to a few thousandths
    const double points = (guide.kettle_gravity.value() - 1.0) * full.value() / (full.value() + 2.0);
    const auto over = kettle_mend(planned, SpecificGravity(1.0 + points), Litres(full.value() + 2.0));
    REQUIRE(over);
    CHECK(over->water_l == near(-2.0, 0.0, 0.05));
    CHECK(over->minutes == near(2.0 / (f.means.boil_off_l / 90.0), 0.03)); // the recipe boils 90 minutes
    const auto under = kettle_mend(planned, guide.kettle_gravity + GravityDifference(0.004), full);
    CHECK(under->water_l > 0.0);
    CHECK(under->minutes == 0.0);
    PlannedBrew bare = planned;
    bare.forecast.extract_grist_kg = 0.0;
    CHECK_FALSE(kettle_mend(bare, guide.kettle_gravity, full));
}

TEST_CASE("hot walls stand wider: the stick shows so much less of the same wort") {
    PlanRequest request = dry_hopped("2026-03-01");
    Vessel straight; // 10 cm of it are 10 L
    straight.point = ReadingPoint::kettle_full;
    straight.dip_table = {{Centimetres(0.0), Litres(0.0)}, {Centimetres(60.0), Litres(60.0)}};
    const PlannedBrew planned = draw_up_plan(request);
    const auto depth = [&](double expansion) {
        straight.wall_expansion_per_c = expansion;
        request.brewhouse.vessels = {straight};
        return sheet_guide(planned, request.brewhouse, {}).depths.front().depth.value();
    };
    CHECK(depth(5e-5) == near(depth(0.0) / (1.0 + 5e-5 * 55.0), 1e-9)); // from 20 to 75 °C
}
