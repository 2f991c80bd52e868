#include "equations.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/liquor.hpp>
#include <lotwort/brew/mash_grist.hpp>
#include <lotwort/core/error.hpp>

namespace lotwort::infer_detail {

double BrewEquation::sd() const {
    return std::hypot(own_sd, bias_sd);
}

namespace {

constexpr double sg_per_plato = 0.004; // only to carry an instrument's figure from one scale to the other

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
    case ReadingPoint::final_beer:
        return std::nullopt;
    }
    return std::nullopt;
}

const Vessel* vessel_at(const Brewhouse& brewhouse, ReadingPoint point) {
    const auto found = std::ranges::find(brewhouse.vessels, point, &Vessel::point);
    return found == brewhouse.vessels.end() ? nullptr : &*found;
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

// Volume or mass side of a reading; none where it has none.
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
        e.observed = r.mass->value();
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
        e.observed = r.volume->value();
        e.own_sd = reading_sd(marks, e.observed);
        e.bias_sd = bias_sd(marks, e.observed);
    } else {
        if (!vessel)
            throw Error(ErrorKind::refused, fmt::format("reading {}: no dip table is known for {}", r.id, e.point),
                        "add the vessel with its dip_table to the brewhouse, or give the reading in litres");
        const auto [litres, litres_per_cm] = dip_litres(*vessel, r.depth->value(), r.id);
        e.observed = litres;
        const bool in_cm = marks.unit && *marks.unit == "cm";
        e.own_sd = in_cm ? reading_sd(marks, r.depth->value()) * litres_per_cm : reading_sd(marks, litres);
        e.bias_sd = in_cm ? bias_sd(marks, r.depth->value()) * litres_per_cm : bias_sd(marks, litres);
    }
    return e;
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
    // a gravity errs by what lies above 1, so a proportional figure is of the gravity points
    const double magnitude = is_sg ? e.observed - 1.0 : e.observed;
    const auto share = [&](const std::optional<double>& pct) { return pct.value_or(0.0) / 100.0 * magnitude; };
    const double step = on_scale(instrument, instrument.resolution.value_or(0.0), is_sg);
    e.own_sd = std::sqrt(std::pow(on_scale(instrument, instrument.repeatability.value_or(0.0), is_sg), 2) +
                         std::pow(share(instrument.repeatability_pct), 2) + step * step / 12.0);
    e.bias_sd =
        std::hypot(on_scale(instrument, instrument.bias_sd.value_or(0.0), is_sg), share(instrument.bias_sd_pct));
    return e;
}

// Numbered parts (run 1, 2, ...) are one reading of their sum, brought to 20 C.
BrewEquation sum_of_runs(const std::vector<BrewEquation>& parts, Quantity quantity) {
    BrewEquation sum = parts.front();
    sum.quantity = quantity;
    sum.observed = sum.bias_sd = 0.0;
    sum.at_c = 20.0;
    double own = 0.0;
    for (const auto& part : parts) {
        const double to_20 = part.scale == Scale::kilograms
                                 ? 1000.0 / wort::sucrose_density_kg_m3(0.0, 20.0)
                                 : wort::sucrose_density_kg_m3(0.0, part.at_c) / wort::sucrose_density_kg_m3(0.0, 20.0);
        sum.observed += part.observed * to_20;
        own += std::pow(part.own_sd * to_20, 2);
        sum.bias_sd += part.bias_sd * to_20;
    }
    sum.own_sd = std::sqrt(own);
    sum.kind = "volume";
    sum.unit = "l";
    sum.scale = Scale::litres;
    return sum;
}

bool is_liquor(Quantity q) {
    return q == Quantity::strike_liquor || q == Quantity::sparge_liquor || q == Quantity::top_up ||
           q == Quantity::kettle_liquor;
}

// Runnings after the first wort, numbered 2, 3, ...: their volumes as a sum where none of them is missing; the last
// one's gravity is that of the wort left in the grain, where the sparge was in batches.
class Washings {
public:
    explicit Washings(const Kit& kit) : last_(kit.sparge == Sparge::batch ? static_cast<int>(kit.wash_stages) : 0) {}

    void take(const Reading& reading, std::optional<BrewEquation> volume, std::optional<BrewEquation> gravity,
              BrewModel& model) {
        const bool known = *reading.run <= last_;
        if (volume && known) volumes_[*reading.run] = *volume;
        if (gravity && *reading.run == last_) {
            ++model.readings;
            gravity->quantity = Quantity::last_runnings;
            model.equations.push_back(*gravity);
        } else if (gravity || !known) {
            model.remarks.push_back(fmt::format("{}: the {} of run {} is kept and takes no part in the balance",
                                                reading.id, gravity ? "gravity" : "volume", *reading.run));
        }
    }

    void finish(BrewModel& model) const {
        if (volumes_.empty()) return;
        if (static_cast<int>(volumes_.size()) != last_ - 1) {
            model.remarks.emplace_back(
                "the volumes of some runnings are missing: those read take no part in the balance");
            return;
        }
        std::vector<BrewEquation> parts;
        for (const auto& [run, volume] : volumes_) parts.push_back(volume);
        model.readings += static_cast<int>(parts.size());
        model.equations.push_back(sum_of_runs(parts, Quantity::washings));
    }

private:
    int last_; // the number of the last running; 0 where they are not in stages
    std::map<int, BrewEquation> volumes_;
};

// A mash read with the grain in it: the grain's displacement is known to a few hundredths of a litre per kg.
void widen_for_grain(BrewEquation& mash, double grist_dry_kg) {
    mash.own_sd = std::hypot(mash.own_sd, 0.04 * grist_dry_kg);
}

void add_readings(const ReconcileInput& in, const Kit& kit, BrewModel& model) {
    std::map<Quantity, std::vector<BrewEquation>> numbered;
    Washings washings(kit);
    for (const auto& reading : in.brew.readings) {
        if (reading.set_aside) continue;
        const auto quantity = quantity_of(reading.point);
        if (!quantity) continue;
        auto volume = *quantity == Quantity::last_runnings ? std::nullopt : volume_equation(in, reading, *quantity);
        auto gravity = is_liquor(*quantity) ? std::nullopt : gravity_equation(in, reading, *quantity);
        if (reading.run.value_or(1) > 1 && !is_liquor(*quantity)) {
            if (*quantity == Quantity::first_wort)
                washings.take(reading, volume, gravity, model);
            else
                model.remarks.push_back(fmt::format("{}: run {} at {} is kept and takes no part in the balance",
                                                    reading.id, *reading.run, word(reading.point)));
            continue;
        }
        if (volume) {
            ++model.readings;
            if (*quantity == Quantity::mash) widen_for_grain(*volume, model.facts.grist_dry_kg);
            if (is_liquor(*quantity) && reading.run)
                numbered[*quantity].push_back(*volume);
            else
                model.equations.push_back(*volume);
        }
        if (gravity) {
            ++model.readings;
            // wort drawn from the mash is first wort
            if (*quantity == Quantity::mash) gravity->quantity = Quantity::first_wort;
            model.equations.push_back(*gravity);
        }
    }
    for (const auto& [quantity, parts] : numbered) model.equations.push_back(sum_of_runs(parts, quantity));
    washings.finish(model);
}

bool is_read(const BrewModel& model, Quantity quantity, std::string_view kind = {}) {
    return std::ranges::any_of(model.equations, [&](const BrewEquation& e) {
        return !e.is_expectation && e.quantity == quantity && (kind.empty() || e.kind == kind);
    });
}

BrewEquation expectation(std::string name, std::string kind, std::string unit, Quantity quantity, double value,
                         double sd, double level_sd = 0.0) {
    BrewEquation e;
    e.id = "expect:" + name;
    e.point = std::move(name);
    e.kind = std::move(kind);
    e.unit = std::move(unit);
    e.quantity = quantity;
    e.observed = value;
    e.own_sd = sd;
    e.level_sd = level_sd;
    e.is_expectation = true;
    return e;
}

struct BoilAndTarget {
    double boil_hours = 1.0;
    double target_l = 0.0;
};

BoilAndTarget boil_and_target(const ReconcileInput& in, const Kit& kit, std::vector<std::string>& remarks) {
    BoilAndTarget out{1.0, in.recipe ? in.recipe->volume.value() : kit.volume_l};
    if (in.brew.boil)
        out.boil_hours = in.brew.boil->value() / 60.0;
    else if (in.recipe && in.recipe->boil)
        out.boil_hours = in.recipe->boil->value() / 60.0;
    else
        remarks.emplace_back("the boil's length is not known: 60 minutes are assumed");
    // a recipe written for another size says nothing of this brewhouse's volume
    if (out.target_l > 1.6 * kit.volume_l || out.target_l < 0.4 * kit.volume_l) out.target_l = kit.volume_l;
    return out;
}

void add_expectations(const ReconcileInput& in, const Kit& kit, const MashGrist& grist, double hop_kg,
                      BrewModel& model) {
    const auto [hours, target_l] = boil_and_target(in, kit, model.remarks);
    auto& out = model.equations;
    const double retained = kit.absorption_l_per_kg * grist.mass_kg + kit.tun_loss_l;
    const double loss = kit.kettle_loss_l + kit.hop_absorption_l_per_kg * hop_kg;
    const double boil_off = kit.boil_off_l_per_h * hours;
    out.push_back(
        expectation("grist", "extract", "kg", Quantity::grist_extract, grist.extract_kg, grist.extract_sd_kg));
    out.push_back(expectation("conversion", "efficiency", "1", Quantity::conversion, kit.conversion, kit.conversion_sd,
                              kit.conversion_level_sd));
    out.push_back(expectation("lauter", "ratio to expectation", "1", Quantity::lauter, kit.lauter_of_expected,
                              kit.lauter_sd, kit.lauter_level_sd));
    out.push_back(expectation("absorption", "volume", "l", Quantity::retained, retained,
                              std::max(kit.absorption_sd_l_per_kg * grist.mass_kg, 1e-3),
                              kit.absorption_level_sd_l_per_kg * grist.mass_kg));
    out.push_back(expectation("boil-off", "volume", "l", Quantity::boil_off, boil_off,
                              std::max(kit.boil_off_sd_l_per_h * hours, 1e-4 * kit.volume_l),
                              kit.boil_off_level_sd_l_per_h * hours));
    out.push_back(expectation("kettle-loss", "volume", "l", Quantity::kettle_loss, loss,
                              std::max(kit.kettle_loss_sd_l, 1e-4 * kit.volume_l), kit.kettle_loss_level_sd_l));
    // nothing written down means nothing added: an expectation, so that it can be a suspect
    if (!is_read(model, Quantity::top_up))
        out.push_back(expectation("top-up", "volume", "l", Quantity::top_up, 0.0, 0.001 * kit.volume_l));

    if (!is_read(model, Quantity::kettle_liquor))
        out.push_back(expectation("kettle-liquor", "volume", "l", Quantity::kettle_liquor, 0.0, 0.001 * kit.volume_l));

    // liquor that nobody measured is expected as the brewhouse is used to, widely
    const double planned_strike = kit.mash_ratio_l_per_kg * grist.mass_kg;
    const double total = liquor_for_volume(kit, target_l, grist, model.facts, boil_off, loss, retained);
    const bool strike_read = is_read(model, Quantity::strike_liquor),
               sparge_read = is_read(model, Quantity::sparge_liquor);
    if (kit.sparge == Sparge::none) {
        if (!sparge_read)
            out.push_back(
                expectation("sparge-liquor", "volume", "l", Quantity::sparge_liquor, 0.0, 0.001 * kit.volume_l));
        if (!strike_read)
            out.push_back(expectation("strike-liquor", "volume", "l", Quantity::strike_liquor, total, 0.1 * total));
    } else {
        if (!strike_read)
            out.push_back(expectation("strike-liquor", "volume", "l", Quantity::strike_liquor, planned_strike,
                                      kit.mash_ratio_sd_l_per_kg * grist.mass_kg));
        if (!sparge_read)
            out.push_back(expectation("liquor-in-all", "volume", "l", Quantity::liquor_total, total, 0.1 * total));
    }

    auto& s = model.start;
    s.strike_l = kit.sparge == Sparge::none ? total : planned_strike;
    s.sparge_l = kit.sparge == Sparge::none ? 1e-3 : std::max(total - planned_strike, 0.1 * total);
    // the start is what was expected, not what was read: a slip of the pen must not lead the search astray
    s.extract_grist_kg = grist.extract_kg;
    s.extract_mash_kg = kit.conversion * grist.extract_kg;
    s.retained_l = retained;
    s.extract_kettle_kg = 0.88 * s.extract_mash_kg;
    s.boil_off_l = boil_off;
    s.kettle_loss_l = loss;
}

} // namespace

BrewModel brew_model(const ReconcileInput& in) {
    BrewModel model;
    const Kit kit = kit_of(in.brewhouse);
    std::vector<WeighedMalt> malts;
    double hop_kg = 0.0;
    for (const auto& addition : in.brew.additions) {
        const auto used = in.lots.find(addition.lot);
        LOTWORT_CHECK(used != in.lots.end());
        if (addition.amount.measure != Measure::mass) continue;
        const auto& [item, lot] = used->second;
        const double mass = addition.amount.kilograms().value();
        if (item.kind == ItemKind::hop &&
            (addition.stage == Stage::boil || addition.stage == Stage::stand || addition.stage == Stage::kettle))
            hop_kg += mass;
        if (item.kind != ItemKind::malt && item.kind != ItemKind::sugar) continue;
        const auto figures = malt_figures(item, lot, in.brew.date);
        if (addition.stage == Stage::mash) {
            malts.push_back({addition.lot, Kilograms(mass), figures,
                             instrument_for(addition.mass_instrument, InstrumentKind::balance, in.brewhouse,
                                            ReadingPoint::mash, in.instruments)});
        } else if (addition.stage == Stage::kettle || addition.stage == Stage::boil || addition.stage == Stage::stand) {
            const double extract = mass * figures.extract_as_is.value;
            model.facts.kettle_sugar_kg += extract;
            model.facts.kettle_sugar_water_kg += mass - extract;
        }
    }
    const MashGrist grist = mash_grist(malts);
    model.grist_kg = grist.mass_kg;
    model.facts.grist_moisture_kg = grist.moisture_kg;
    model.facts.grist_dry_kg = grist.mass_kg - grist.moisture_kg;
    model.facts.wash_stages = kit.wash_stages;
    if (grist.extract_kg <= 0.0) return model; // nothing to reconcile against: the caller says so
    add_readings(in, kit, model);
    add_expectations(in, kit, grist, hop_kg, model);
    if (!kit.assumed.empty())
        model.remarks.push_back(fmt::format(
            "{} of the brewhouse's figures {} typical, wide, until you state {}: lotwort brewhouse show \"{}\"",
            kit.assumed.size(), kit.assumed.size() == 1 ? "is" : "are", kit.assumed.size() == 1 ? "it" : "them",
            in.brewhouse.name));
    return model;
}

std::vector<BrewEquation> possible_readings(const ReconcileInput& in, const BrewModel& model) {
    const std::vector<std::pair<ReadingPoint, bool>> candidates{
        {ReadingPoint::strike_liquor, false}, {ReadingPoint::sparge_liquor, false}, {ReadingPoint::first_wort, false},
        {ReadingPoint::kettle_full, false},   {ReadingPoint::cast_out, false},      {ReadingPoint::fermenter, false},
        {ReadingPoint::first_wort, true},     {ReadingPoint::last_runnings, true},  {ReadingPoint::kettle_full, true},
        {ReadingPoint::cast_out, true},       {ReadingPoint::fermenter, true},
    };
    std::vector<BrewEquation> out;
    const bool plato =
        std::ranges::any_of(in.instruments, [](const Instrument& i) { return i.unit && *i.unit == "plato"; });
    for (const auto& [point, gravity] : candidates) {
        const auto quantity = *quantity_of(point);
        if (is_read(model, quantity, gravity ? "gravity" : "volume")) continue;
        Reading reading;
        reading.id = fmt::format("next:{}", word(point));
        reading.point = point;
        // the marks of the vessel that the brew's other readings at this point or its vessel named
        for (const auto& taken : in.brew.readings) {
            const bool same = taken.point == point ||
                              (point == ReadingPoint::cast_out && taken.point == ReadingPoint::kettle_full) ||
                              (point == ReadingPoint::kettle_full && taken.point == ReadingPoint::cast_out) ||
                              (point == ReadingPoint::strike_liquor && taken.point == ReadingPoint::sparge_liquor) ||
                              (point == ReadingPoint::sparge_liquor && taken.point == ReadingPoint::strike_liquor);
            if (same && !taken.mass && taken.volume_instrument) reading.volume_instrument = taken.volume_instrument;
            if (taken.gravity_instrument) reading.gravity_instrument = taken.gravity_instrument;
        }
        if (gravity && plato)
            reading.gravity_plato = Plato(12.0);
        else if (gravity)
            reading.gravity_sg = SpecificGravity(1.048);
        else
            reading.volume = Litres(in.brewhouse.volume);
        if (auto e = gravity ? gravity_equation(in, reading, quantity) : volume_equation(in, reading, quantity))
            out.push_back(*e);
    }
    return out;
}

} // namespace lotwort::infer_detail
