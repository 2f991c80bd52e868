#include "reading_equation.hpp"
#include "reading_figure.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/mash_grist.hpp>
#include <lotwort/core/error.hpp>

namespace lotwort::infer_detail {

namespace {

constexpr double sg_per_plato = 0.004; // only to carry an instrument's figure from one scale to the other

const Vessel* vessel_at(const Brewhouse& brewhouse, ReadingPoint point) {
    const auto found = std::ranges::find(brewhouse.vessels, point, &Vessel::point);
    return found == brewhouse.vessels.end() ? nullptr : &*found;
}
const Vessel* vessel_at(const Brewhouse&&, ReadingPoint) = delete;

// Litres per centimetre at a volume, by the table's marks; none where it has none there.
std::optional<double> litres_per_cm_at(const Vessel* vessel, double litres) {
    if (vessel == nullptr || vessel->dip_table.size() < 2) return std::nullopt;
    const auto& table = vessel->dip_table;
    auto upper = std::ranges::find_if(table, [&](const DipMark& m) { return m.volume.value() >= litres; });
    if (upper == table.end()) --upper;
    if (upper == table.begin()) ++upper;
    const auto lower = upper - 1;
    return (upper->volume - lower->volume).value() / (upper->depth - lower->depth).value();
}

// Litres at a depth by straight lines between the table's marks, and litres per centimetre there.
std::pair<double, double> dip_litres(const Vessel& vessel, double depth_cm, const std::string& reading) {
    const auto& table = vessel.dip_table;
    const auto upper = std::ranges::find_if(table, [&](const DipMark& m) { return m.depth.value() >= depth_cm; });
    if (table.size() < 2 || upper == table.end() || depth_cm < table.front().depth.value())
        throw Error(ErrorKind::refused,
                    fmt::format("reading {}: {} cm lies outside the vessel's dip table", reading, depth_cm),
                    "extend the dip table of that vessel, or give the reading in litres");
    const auto b = upper == table.begin() ? table.begin() + 1 : upper;
    const auto a = b - 1;
    const double slope = (b->volume - a->volume).value() / (b->depth - a->depth).value();
    return {a->volume.value() + slope * (depth_cm - a->depth.value()), slope};
}

InstrumentKind gravity_kind(const ReconcileInput& in, const Reading& r) {
    if (r.gravity_instrument) {
        const auto named = std::ranges::find(in.instruments, *r.gravity_instrument, &Instrument::name);
        if (named != in.instruments.end()) return named->kind;
    }
    return r.brix ? InstrumentKind::refractometer : InstrumentKind::hydrometer;
}

// An instrument's figure (in its unit) on the scale of the reading.
double on_scale(const Instrument& instrument, double figure, bool reading_is_sg) {
    const bool figure_is_sg = !instrument.unit || *instrument.unit == "sg";
    if (figure_is_sg == reading_is_sg) return figure;
    return reading_is_sg ? figure * sg_per_plato : figure / sg_per_plato;
}

} // namespace

double BrewEquation::sd() const {
    double variance = own_sd * own_sd + bias_sd * bias_sd;
    for (const auto& part : shared) variance += part.sd * part.sd;
    return std::sqrt(variance);
}

std::optional<Quantity> quantity_of(ReadingPoint point) {
    switch (point) {
    case ReadingPoint::strike_liquor:
        return Quantity::strike_liquor;
    case ReadingPoint::sparge_liquor:
        return Quantity::sparge_liquor;
    case ReadingPoint::first_wort:
        return Quantity::first_wort;
    case ReadingPoint::last_runnings:
        return Quantity::last_runnings;
    case ReadingPoint::kettle_full:
        return Quantity::kettle_full;
    case ReadingPoint::cast_out:
        return Quantity::cast_out;
    case ReadingPoint::fermenter:
        return Quantity::fermenter;
    case ReadingPoint::top_up:
        return Quantity::top_up;
    case ReadingPoint::kettle_liquor:
        return Quantity::kettle_liquor;
    case ReadingPoint::mash:
        return Quantity::mash;
    case ReadingPoint::fermenting:
    case ReadingPoint::final_beer:
        return std::nullopt;
    }
    return std::nullopt;
}

bool is_liquor(Quantity q) {
    return q == Quantity::strike_liquor || q == Quantity::sparge_liquor || q == Quantity::top_up ||
           q == Quantity::kettle_liquor;
}

std::optional<BrewEquation> volume_equation(const ReconcileInput& in, const Reading& r, Quantity quantity) {
    BrewEquation e;
    e.id = r.id;
    e.point = word(r.point);
    e.quantity = quantity;
    const Vessel* vessel = vessel_at(in.brewhouse, r.point);
    if (r.mass) {
        const auto balance =
            instrument_for(r.volume_instrument, InstrumentKind::balance, in.brewhouse, r.point, in.instruments);
        const double factor = balance.unit && *balance.unit == "g" ? 1000.0 : 1.0;
        e.kind = "mass";
        e.unit = "kg";
        e.scale = Scale::kilograms;
        e.correction = balance.correction.value_or(0.0) / factor;
        e.observed = r.mass->value() + e.correction;
        e.own_sd = reading_sd(balance, e.observed * factor) / factor;
        e.bias_sd = bias_sd(balance, e.observed * factor) / factor;
        e.instrument = balance.name;
        return e;
    }
    if (!r.volume && !r.depth) return std::nullopt;
    const auto marks =
        instrument_for(r.volume_instrument, InstrumentKind::volume_marks, in.brewhouse, r.point, in.instruments);
    e.kind = "volume";
    e.unit = "l";
    e.scale = Scale::litres;
    e.at_c = r.volume_at ? r.volume_at->value() : 20.0;
    e.expansion_per_c = vessel && vessel->wall_expansion_per_c ? *vessel->wall_expansion_per_c : 0.0;
    e.instrument = marks.name;
    if (r.volume) {
        // a stick's centimetres are so many litres there, though somebody read the litres off its table
        const auto per_cm = marks.unit && *marks.unit == "cm" ? litres_per_cm_at(vessel, r.volume->value()) : 1.0;
        const double factor = per_cm.value_or(1.0);
        e.correction = marks.correction.value_or(0.0) * factor;
        e.observed = r.volume->value() + e.correction;
        e.own_sd = reading_sd(marks, e.observed / factor) * factor;
        e.bias_sd = bias_sd(marks, e.observed / factor) * factor;
    } else {
        if (!vessel)
            throw Error(ErrorKind::refused, fmt::format("reading {}: no dip table is known for {}", r.id, e.point),
                        "add the vessel with its dip_table to the brewhouse, or give the reading in litres");
        const auto [litres, litres_per_cm] = dip_litres(*vessel, r.depth->value(), r.id);
        const bool in_cm = marks.unit && *marks.unit == "cm";
        e.correction = marks.correction.value_or(0.0) * (in_cm ? litres_per_cm : 1.0);
        e.observed = litres + e.correction;
        e.own_sd = in_cm ? reading_sd(marks, r.depth->value()) * litres_per_cm : reading_sd(marks, litres);
        e.bias_sd = in_cm ? bias_sd(marks, r.depth->value()) * litres_per_cm : bias_sd(marks, litres);
    }
    return e;
}

std::optional<BrewEquation> gravity_equation(const ReconcileInput& in, const Reading& r, Quantity quantity) {
    if (!r.gravity_sg && !r.gravity_plato && !r.brix) return std::nullopt;
    const auto kind = gravity_kind(in, r);
    const auto instrument = instrument_for(r.gravity_instrument, kind, in.brewhouse, r.point, in.instruments);
    BrewEquation e;
    e.id = r.id;
    e.point = word(r.point);
    e.kind = "gravity";
    e.quantity = quantity;
    e.instrument = instrument.name;
    e.calibration_c = instrument.calibration ? instrument.calibration->value() : 20.0;
    e.at_c = r.gravity_at ? r.gravity_at->value() : e.calibration_c;
    const bool by_glass = instrument.kind == InstrumentKind::hydrometer;
    const bool is_sg = r.gravity_sg.has_value();
    if (r.brix) {
        e.unit = "brix";
        e.observed = r.brix->value();
        e.scale = Scale::brix;
        e.brix_to_plato = instrument.brix_to_plato.value_or(1.0 / 1.04);
    } else if (is_sg) {
        e.unit = "sg";
        e.observed = r.gravity_sg->value();
        e.scale = by_glass ? Scale::sg : Scale::sg_at_20;
    } else {
        e.unit = "plato";
        e.observed = r.gravity_plato->value();
        e.scale = by_glass ? Scale::plato : Scale::plato_at_20;
    }
    e.correction = on_scale(instrument, instrument.correction.value_or(0.0), is_sg);
    e.observed += e.correction;
    // a gravity errs by what lies above 1, so a proportional figure is of the gravity points
    const double magnitude = is_sg ? e.observed - 1.0 : e.observed;
    const auto share = [&](const std::optional<double>& pct) { return pct.value_or(0.0) / 100.0 * magnitude; };
    const double step = on_scale(instrument, instrument.resolution.value_or(0.0), is_sg);
    e.own_sd = std::sqrt(std::pow(on_scale(instrument, instrument.repeatability.value_or(0.0), is_sg), 2) +
                         std::pow(share(instrument.repeatability_pct), 2) + step * step / 12.0);
    e.own_sd = std::hypot(e.own_sd, warm_sample_sd(e));
    e.bias_sd =
        std::hypot(on_scale(instrument, instrument.bias_sd.value_or(0.0), is_sg), share(instrument.bias_sd_pct));
    return e;
}

} // namespace lotwort::infer_detail
