#include "simulated_brew.hpp"
#include <cmath>
#include <lotwort/wort/density.hpp>
#include <stdexcept>

namespace lotwort::test {

namespace {

double density(double w, double t) {
    return wort::sucrose_density_kg_m3(w, t) / 1000.0;
} // kg/L

// Extract fraction of wort with extract_kg in volume_l, by bisection.
double fraction(double extract_kg, double volume_l) {
    double low = 0.0, high = 0.6;
    for (int i = 0; i < 200; ++i) {
        const double w = 0.5 * (low + high);
        (w * density(w, 20.0) * volume_l < extract_kg ? low : high) = w;
    }
    return 0.5 * (low + high);
}

Instrument instrument(const std::string& name, InstrumentKind kind, const std::string& unit, double repeatability,
                      double bias) {
    Instrument i;
    i.name = name;
    i.kind = kind;
    i.unit = unit;
    i.repeatability = repeatability;
    i.bias_sd = bias;
    if (kind == InstrumentKind::hydrometer) i.calibration = Celsius(20.0);
    return i;
}

// A brewhouse that expects exactly what is true of this brew.
Brewhouse brewhouse_of(const Truth& t) {
    Brewhouse b;
    b.name = "main";
    b.volume = Litres(23.0);
    b.sparge = t.sparge;
    if (t.sparge == Sparge::batch) b.batch_sparges = static_cast<int>(std::lround(t.wash_stages)) - 1;
    if (t.sparge == Sparge::continuous) b.wash_stages = t.wash_stages;
    b.absorption = LitresPerKilogram(t.absorption_l_per_kg);
    b.absorption_sd = LitresPerKilogram(0.08);
    b.tun_loss = Litres(t.tun_loss_l);
    b.boil_off = LitresPerHour(t.boil_off_l_per_h);
    b.boil_off_sd = LitresPerHour(0.4);
    b.kettle_loss = Litres(t.kettle_loss_l);
    b.kettle_loss_sd = Litres(0.3);
    b.conversion = Percent(100.0 * t.conversion);
    b.conversion_sd = Percent(2.5);
    b.lauter_of_expected = Percent(100.0 * t.lauter_of_expected);
    b.lauter_sd = Percent(2.0);
    return b;
}

void weigh_in(ReconcileInput& in, const std::string& code, ItemKind kind, Stage stage, double kg, double fine_dry,
              double moisture) {
    Item item;
    item.name = code;
    item.kind = kind;
    Lot lot;
    lot.code = lot.item = code;
    lot.received = in.brew.date;
    lot.received_amount = Amount::of(Kilograms(100.0));
    Certificate c;
    c.extract = Percent(fine_dry);
    c.extract_basis = ExtractBasis::fine_dry;
    c.extract_sd = Percent(0.9);
    c.moisture = Percent(moisture);
    c.moisture_sd = Percent(0.2);
    lot.certificate = c;
    in.lots[code] = {item, lot};
    Addition a;
    a.lot = code;
    a.stage = stage;
    a.amount = Amount::of(Kilograms(kg));
    in.brew.additions.push_back(a);
}

} // namespace

SimulatedBrew simulate(const Truth& t) {
    SimulatedBrew out;
    auto& in = out.input;
    in.brew.code = "B1";
    in.brew.date = *parse_iso_date("2026-03-01");
    in.brew.brewhouse = "main";
    in.brew.boil = Minutes(t.boil_minutes);
    in.brewhouse = brewhouse_of(t);
    in.instruments = {instrument("hydrometer", InstrumentKind::hydrometer, "sg", 0.0004, 0.001),
                      instrument("liquor marks", InstrumentKind::volume_marks, "l", 0.12, 0.1),
                      instrument("kettle marks", InstrumentKind::volume_marks, "l", 0.2, 0.25),
                      instrument("fermenter marks", InstrumentKind::volume_marks, "l", 0.17, 0.2),
                      instrument("malt scale", InstrumentKind::balance, "kg", 0.02, 0.01)};
    weigh_in(in, "malt", ItemKind::malt, Stage::mash, t.grist_kg, t.extract_fine_dry_pct, t.moisture_pct);

    const double water = density(0.0, 20.0);
    const double moisture_kg = t.grist_kg * t.moisture_pct / 100.0;
    const double grist_extract = t.grist_kg * t.extract_fine_dry_pct / 100.0 * (1.0 - t.moisture_pct / 100.0);
    const double mash_extract = t.conversion * grist_extract;
    const double held_l = t.absorption_l_per_kg * t.grist_kg + t.tun_loss_l;

    const double mash_kg = t.strike_l * water + moisture_kg + mash_extract;
    out.first_wort_w = mash_extract / mash_kg;
    const double mash_l = mash_kg / density(out.first_wort_w, 20.0);
    out.first_wort_l = mash_l - held_l;
    out.mash_l = mash_l + (t.grist_kg - moisture_kg - mash_extract) / 1.5;

    // what washing in equal stages leaves behind depends on the kettle's volume, which depends a little on it
    double kettle_extract = 0.85 * mash_extract;
    double run_off_kg = 0.0;
    const auto run_off_l = [&] { return run_off_kg / density(kettle_extract / run_off_kg, 20.0); };
    for (int i = 0; i < 100; ++i) {
        const double held_extract = mash_extract - kettle_extract;
        const double held_kg = held_l * density(fraction(held_extract, held_l), 20.0);
        run_off_kg = mash_kg + t.sparge_l * water - held_kg;
        const double kettle_kg = run_off_kg + t.kettle_liquor_l * water;
        out.kettle_w = kettle_extract / kettle_kg;
        out.kettle_l = kettle_kg / density(out.kettle_w, 20.0);
        double left = held_l / mash_l;
        const double washes = t.wash_stages - 1.0;
        if (washes > 0.0) left *= std::pow(held_l / (held_l + (run_off_l() - out.first_wort_l) / washes), washes);
        kettle_extract = mash_extract * t.lauter_of_expected * (1.0 - left);
    }
    out.last_runnings_w = fraction(mash_extract - kettle_extract, held_l);

    out.washings_l = run_off_l() - out.first_wort_l;

    const double sugar_extract = t.sugar_kg; // as sucrose: 100 % extract, no water
    if (t.sugar_kg > 0.0) weigh_in(in, "sugar", ItemKind::sugar, Stage::boil, t.sugar_kg, 100.0, 0.0);
    const double cast_out_extract = kettle_extract + sugar_extract;
    const double cast_out_kg =
        out.kettle_l * density(out.kettle_w, 20.0) + sugar_extract - t.boil_off_l_per_h * t.boil_minutes / 60.0 * water;
    out.cast_out_w = cast_out_extract / cast_out_kg;
    out.cast_out_l = cast_out_kg / density(out.cast_out_w, 20.0);

    const double kept = 1.0 - t.kettle_loss_l / out.cast_out_l;
    const double fermenter_kg = cast_out_kg * kept + t.top_up_l * water;
    out.fermenter_w = cast_out_extract * kept / fermenter_kg;
    out.fermenter_l = fermenter_kg / density(out.fermenter_w, 20.0);

    out.extract_fermenter_kg = kettle_extract * kept;
    out.conversion = t.conversion;
    out.lauter = kettle_extract / mash_extract;
    out.kettle_yield = kettle_extract / grist_extract;
    out.transfer = kept;
    out.brewhouse = out.extract_fermenter_kg / grist_extract;

    // liquor is always read: perfect, at brewing temperature
    const auto liquor = [&](ReadingPoint point, double litres, double at_c) {
        Reading r;
        r.id = std::string(word(point));
        r.point = point;
        r.volume = Litres(litres * water / density(0.0, at_c));
        r.volume_at = Celsius(at_c);
        r.volume_instrument = "liquor marks";
        in.brew.readings.push_back(r);
    };
    liquor(ReadingPoint::strike_liquor, t.strike_l, 74.0);
    if (t.kettle_liquor_l > 0.0) liquor(ReadingPoint::kettle_liquor, t.kettle_liquor_l, 20.0);
    if (t.sparge != Sparge::none) liquor(ReadingPoint::sparge_liquor, t.sparge_l, 78.0);
    return out;
}

void SimulatedBrew::read_volume(ReadingPoint point, double at_c, const std::string& marks) {
    const auto [litres, w] = point == ReadingPoint::first_wort    ? std::pair(first_wort_l, first_wort_w)
                             : point == ReadingPoint::kettle_full ? std::pair(kettle_l, kettle_w)
                             : point == ReadingPoint::cast_out    ? std::pair(cast_out_l, cast_out_w)
                                                                  : std::pair(fermenter_l, fermenter_w);
    Reading r;
    r.id = std::string(word(point)) + "-volume";
    r.point = point;
    r.volume = Litres(litres * density(w, 20.0) / density(w, at_c));
    r.volume_at = Celsius(at_c);
    r.volume_instrument = marks;
    input.brew.readings.push_back(r);
}

void SimulatedBrew::read_gravity(ReadingPoint point, double at_c) {
    const double w = point == ReadingPoint::first_wort      ? first_wort_w
                     : point == ReadingPoint::last_runnings ? last_runnings_w
                     : point == ReadingPoint::kettle_full   ? kettle_w
                     : point == ReadingPoint::cast_out      ? cast_out_w
                                                            : fermenter_w;
    Reading r;
    r.id = std::string(word(point)) + "-gravity";
    r.point = point;
    // the stem's mark: the wort's density, in glass that has grown by 25e-6 a degree (ISO 1768)
    r.gravity_sg = SpecificGravity(density(w, at_c) * (1.0 + 25e-6 * (at_c - 20.0)) / density(0.0, 20.0));
    r.gravity_at = Celsius(at_c);
    r.gravity_instrument = "hydrometer";
    input.brew.readings.push_back(r);
}

Reading& SimulatedBrew::reading(ReadingPoint point) {
    for (auto& r : input.brew.readings)
        if (r.point == point) return r;
    throw std::runtime_error("no such reading was taken");
}

void read_everything(SimulatedBrew& brew) {
    brew.read_gravity(ReadingPoint::first_wort, 28.0);
    brew.read_volume(ReadingPoint::kettle_full, 75.0, "kettle marks");
    brew.read_gravity(ReadingPoint::kettle_full, 26.0);
    brew.read_volume(ReadingPoint::cast_out, 95.0, "kettle marks");
    brew.read_gravity(ReadingPoint::cast_out, 24.0);
    brew.read_volume(ReadingPoint::fermenter, 20.0, "fermenter marks");
    brew.read_gravity(ReadingPoint::fermenter, 20.0);
}

} // namespace lotwort::test
