#include <algorithm>
#include <lotwort/brew/balance.hpp>
#include <lotwort/brew/sheet_guide.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/volume.hpp>

namespace lotwort {

namespace {

// Dipped as hot as they are then. Judgement: a kettle fills while it is run off, and is read just after the boil.
constexpr double full_kettle_c = 75.0, cast_out_c = 95.0;

// The wort of a forecast, from the full kettle on.
struct Wort {
    double extract_kg = 0.0, sugar_kg = 0.0; // of the grain; given in the kettle
    double kettle_fraction = 0.0, cast_out_fraction = 0.0;
};

Wort wort_of(const Forecast& f) {
    Wort w;
    w.sugar_kg = f.means.kettle_sugar_kg;
    w.extract_kg = f.brewhouse_efficiency * f.extract_grist_kg / (1.0 - f.means.kettle_loss_l / f.cast_out_l);
    w.kettle_fraction = balance_detail::fraction_of_volume(w.extract_kg, f.kettle_full_l);
    w.cast_out_fraction = balance_detail::fraction_of_volume(w.extract_kg + w.sugar_kg, f.cast_out_l);
    return w;
}

// What is lacking of the cast-out that has the planned strength, where the full kettle shows another gravity.
KettleMend mend_of(SpecificGravity read, double kettle_l, const Forecast& f, const Wort& wort, double boil_hours) {
    const double water_kg_per_l = balance_detail::water_20_kg_per_l();
    const double fraction = wort::mass_fraction_of_gravity(read.value());
    const double kettle_kg = kettle_l * wort::sucrose_density_kg_m3(fraction, 20.0) / 1000.0;
    const double as_planned_kg = kettle_kg + wort.sugar_kg - f.means.boil_off_l * water_kg_per_l;
    const double wanted_kg = (fraction * kettle_kg + wort.sugar_kg) / wort.cast_out_fraction;
    KettleMend mend{read, (wanted_kg - as_planned_kg) / water_kg_per_l, 0.0};
    const double rate_l_per_h = f.means.boil_off_l / boil_hours;
    if (mend.water_l < 0.0 && rate_l_per_h > 0.0) mend.minutes = -mend.water_l / rate_l_per_h * 60.0;
    return mend;
}

// Boiled off or thinned out where the boil is over already.
KettleMend mend_at_cast_out(SpecificGravity read, const Forecast& f, const Wort& wort, double boil_hours) {
    const double fraction = wort::mass_fraction_of_gravity(read.value());
    const double has_kg = f.cast_out_l * wort::sucrose_density_kg_m3(fraction, 20.0) / 1000.0;
    const double wanted_kg = fraction * has_kg / wort.cast_out_fraction;
    KettleMend mend{read, (wanted_kg - has_kg) / balance_detail::water_20_kg_per_l(), 0.0};
    const double rate_l_per_h = f.means.boil_off_l / boil_hours;
    if (mend.water_l < 0.0 && rate_l_per_h > 0.0) mend.minutes = -mend.water_l / rate_l_per_h * 60.0;
    return mend;
}

// By the brew's own balance: what dissolves in the mash, and what the grain holds in the end.
void add_mash(const Forecast& f, const Brewhouse& brewhouse, const Wort& wort, SheetGuide& guide) {
    const double dissolved_kg = f.means.extract_kg * f.means.malt_factor * f.means.conversion;
    if (dissolved_kg <= wort.extract_kg || f.means.retained_l <= 0.0) return;
    const auto mash = mash_balance<double>(
        {f.strike_liquor_l, f.sparge_liquor_l, f.means.extract_kg, dissolved_kg, f.means.retained_l, wort.extract_kg},
        {f.means.moisture_kg, f.means.grist_kg - f.means.moisture_kg});
    guide.first_wort_gravity = SpecificGravity(wort::specific_gravity_of(mash.first_wort_fraction));
    guide.first_wort_l = mash.first_wort_l;
    if (brewhouse.sparge == Sparge::batch && f.sparge_liquor_l > 0.0)
        guide.last_runnings_gravity = SpecificGravity(wort::specific_gravity_of(mash.retained_fraction));
}

void add_gravities(const Forecast& f, const Brewhouse& brewhouse, const Wort& wort, double boil_hours,
                   SheetGuide& guide) {
    guide.kettle_gravity = SpecificGravity(wort::specific_gravity_of(wort.kettle_fraction));
    guide.cast_out_gravity = SpecificGravity(wort::specific_gravity_of(wort.cast_out_fraction));
    add_mash(f, brewhouse, wort, guide);
    const double excess = f.original_gravity_sg.value - 1.0;
    if (excess > 0.0) guide.fermenter_water_l = f.volume_l.value * 0.001 / excess;
    if (boil_hours <= 0.0) return;
    for (const double off : {-0.004, -0.002, 0.002, 0.004})
        guide.mends.push_back(mend_of(guide.kettle_gravity + GravityDifference(off), f.kettle_full_l, f, wort, boil_hours));
    for (const double off : {-0.002, 0.002})
        guide.cast_out_mends.push_back(
            mend_at_cast_out(*guide.cast_out_gravity + GravityDifference(off), f, wort, boil_hours));
}

void add_depth(const Brewhouse& brewhouse, ReadingPoint point, double litres, double fraction, double at_c,
               SheetGuide& guide) {
    const auto vessel = std::ranges::find(brewhouse.vessels, point, &Vessel::point);
    if (vessel == brewhouse.vessels.end()) return;
    const double walls = 1.0 + vessel->wall_expansion_per_c.value_or(0.0) * (at_c - 20.0);
    const Litres marked(wort::volume_at_l(litres, fraction, 20.0, at_c) / walls);
    if (const auto depth = depth_of(*vessel, marked)) guide.depths.push_back({point, Celsius(at_c), *depth});
}

std::vector<DryHopDay> dry_hop_days(const PlannedBrew& planned, Date packaged) {
    std::vector<DryHopDay> days;
    for (const PlannedLine& line : planned.lines)
        if (line.stage == Stage::dry && line.days)
            days.push_back({line.item, packaged - std::chrono::days(*line.days), *line.days});
    return days;
}

} // namespace

std::optional<Centimetres> depth_of(const Vessel& vessel, Litres volume) {
    const auto& table = vessel.dip_table;
    const auto upper = std::ranges::find_if(table, [&](const DipMark& mark) { return mark.volume >= volume; });
    if (table.size() < 2 || upper == table.end() || volume < table.front().volume) return std::nullopt;
    if (upper == table.begin()) return upper->depth;
    const auto lower = upper - 1;
    return lower->depth + (upper->depth - lower->depth) * ((volume - lower->volume) / (upper->volume - lower->volume));
}

std::optional<KettleMend> kettle_mend(const PlannedBrew& planned, SpecificGravity read, Litres at_20) {
    const Forecast& f = planned.forecast;
    const double hours = planned.boil.value_or(Minutes(60.0)).value() / 60.0;
    if (f.extract_grist_kg <= 0.0 || f.cast_out_l <= f.means.kettle_loss_l || hours <= 0.0) return std::nullopt;
    return mend_of(read, at_20.value(), f, wort_of(f), hours);
}

SheetGuide sheet_guide(const PlannedBrew& planned, const Brewhouse& brewhouse, std::optional<Celsius> grain) {
    const Forecast& f = planned.forecast;
    SheetGuide guide;
    guide.grain = grain.value_or(usual_grain(planned.plan.date));
    guide.packaged = planned.plan.date + std::chrono::days(usual_days_to_packaging);
    guide.dry_hops = dry_hop_days(planned, guide.packaged);
    if (f.extract_grist_kg <= 0.0 || f.cast_out_l <= f.means.kettle_loss_l) return guide;
    if (planned.mash_rest)
        guide.strike = strike_temperature(*planned.mash_rest, guide.grain,
                                          LitresPerKilogram(f.strike_liquor_l / f.means.grist_kg));
    const Wort wort = wort_of(f);
    add_gravities(f, brewhouse, wort, planned.boil.value_or(Minutes(60.0)).value() / 60.0, guide);
    const double strike_c = guide.strike.value_or(Celsius(20.0)).value();
    add_depth(brewhouse, ReadingPoint::strike_liquor, f.strike_liquor_l, 0.0, strike_c, guide);
    add_depth(brewhouse, ReadingPoint::sparge_liquor, f.sparge_liquor_l, 0.0, strike_c, guide);
    add_depth(brewhouse, ReadingPoint::kettle_full, f.kettle_full_l, wort.kettle_fraction, full_kettle_c, guide);
    add_depth(brewhouse, ReadingPoint::cast_out, f.cast_out_l, wort.cast_out_fraction, cast_out_c, guide);
    add_depth(brewhouse, ReadingPoint::fermenter, f.volume_l.value, wort.cast_out_fraction, 20.0, guide);
    return guide;
}

} // namespace lotwort
