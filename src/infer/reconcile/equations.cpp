#include "equations.hpp"
#include "expectations.hpp"
#include "joint_balance.hpp"
#include "reading_equation.hpp"
#include "readings.hpp"
#include "sound_input.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/mash_grist.hpp>
#include <lotwort/core/error.hpp>

namespace lotwort::infer_detail {

namespace {

constexpr int enough_to_expect_by = 8; // other brews: what is typical hardly counts beside so many

// What was weighed in, by where it went.
struct WeighedIn {
    std::vector<std::vector<WeighedMalt>> mashes;
    KettleFacts kettle;
    double hop_kg = 0.0;
};

bool is_boiled(Stage stage) {
    return stage == Stage::kettle || stage == Stage::boil || stage == Stage::stand;
}

WeighedIn weighed_in(const ReconcileInput& in) {
    WeighedIn out;
    for (const auto& addition : in.brew.additions) {
        const auto used = in.lots.find(addition.lot);
        LOTWORT_CHECK(used != in.lots.end());
        if (addition.amount.measure != Measure::mass) continue;
        const auto& [item, lot] = used->second;
        const double mass = addition.amount.kilograms().value();
        if (item.kind == ItemKind::hop && is_boiled(addition.stage)) out.hop_kg += mass;
        if (item.kind != ItemKind::malt && item.kind != ItemKind::sugar) continue;
        const auto figures = malt_figures(item, lot, in.brew.date);
        if (addition.stage == Stage::mash) {
            const auto place = static_cast<std::size_t>(addition.mash.value_or(1)) - 1;
            if (out.mashes.size() <= place) out.mashes.resize(place + 1);
            out.mashes[place].push_back({addition.lot, Kilograms(mass), figures,
                                         instrument_for(addition.mass_instrument, InstrumentKind::balance, in.brewhouse,
                                                        ReadingPoint::mash, in.instruments)});
        } else if (is_boiled(addition.stage)) {
            const double extract = mass * figures.extract_as_is.value;
            out.kettle.sugar_kg += extract;
            out.kettle.sugar_water_kg += mass - extract;
        }
    }
    return out;
}

// One brew's part of the model; nothing where it has no malt.
bool add_brew(const ReconcileInput& in, BrewModel& model) {
    demand_sound(in);
    const Kit kit = kit_of(in.brewhouse);
    const WeighedIn weighed = weighed_in(in);
    ModelBrew me;
    me.code = in.brew.code;
    me.kettle = weighed.kettle;
    std::vector<MashGrist> grists;
    for (const auto& malts : weighed.mashes) {
        const auto& grist = grists.emplace_back(mash_grist(malts));
        if (grist.extract_kg <= 0.0 && weighed.mashes.size() > 1)
            throw Error(ErrorKind::refused,
                        fmt::format("{}: mash {} holds no malt, and mash {} does", in.brew.code, grists.size(),
                                    weighed.mashes.size()),
                        "number the mashes from 1 without a gap");
        me.grist_kg += grist.mass_kg;
        me.mashes.push_back({grist.moisture_kg, grist.mass_kg - grist.moisture_kg, kit.wash_stages});
    }
    if (grists.empty() || grists.front().extract_kg <= 0.0) return false;
    model.brews.push_back(std::move(me));
    const std::size_t brew = model.brews.size() - 1;
    add_readings(in, kit, brew, model);
    add_expectations(in, kit, grists, weighed.hop_kg, brew, model);
    const bool is_taught = in.elsewhere && in.elsewhere->figures > 0 && in.elsewhere->brews >= enough_to_expect_by;
    if (!is_taught) model.assumed_figures = kit.assumed.size();
    return true;
}

// Another brew's equations are told by its code, and what it assumes is said where it is asked about.
void add_companion(const ReconcileInput& in, BrewModel& model) {
    const std::size_t first = model.equations.size(), remarks = model.remarks.size(), odd = model.impossible.size();
    std::string why = "has no malt booked";
    const BrewModel before = model;
    try {
        if (add_brew(in, model)) why.clear();
    } catch (const Error& e) {
        why = std::string("cannot be reckoned with (") + e.what() + ")";
    }
    if (!why.empty()) {
        model = before;
        model.remarks.push_back(
            fmt::format("{} was run into the same fermenter and {}: it is left out", in.brew.code, why));
        return;
    }
    model.remarks.resize(remarks);
    model.assumed_figures = before.assumed_figures;
    for (std::size_t i = first; i < model.equations.size(); ++i)
        model.equations[i].id = fmt::format("{}:{}", in.brew.code, model.equations[i].id);
    for (std::size_t i = odd; i < model.impossible.size(); ++i)
        model.impossible[i].id = fmt::format("{}:{}", in.brew.code, model.impossible[i].id);
}

// Nothing of a brew is known better than this: litres and kilograms of liquor and wort to a hundred thousandth of the
// brewhouse, gravities to a millionth, all else to a ten thousandth of itself.
double least_own_sd(const BrewEquation& e, double volume_l) {
    if (e.kind == "volume" || e.kind == "mass") return 1e-5 * std::max(volume_l, std::abs(e.observed));
    if (e.scale == Scale::sg || e.scale == Scale::sg_at_20) return 1e-6;
    if (e.kind == "gravity") return 2.5e-4; // degrees
    return std::max(1e-4 * std::abs(e.observed), 1e-9);
}

} // namespace

bool has_malt(const ReconcileInput& in) {
    return std::ranges::any_of(in.brew.additions, [&](const Addition& addition) {
        const auto used = in.lots.find(addition.lot);
        return addition.stage == Stage::mash && used != in.lots.end() &&
               (used->second.item.kind == ItemKind::malt || used->second.item.kind == ItemKind::sugar);
    });
}

const BrewEquation* stand_in_for(const BrewModel& model, std::size_t i) {
    const BrewEquation& left_out = model.equations[i];
    if (left_out.is_expectation) return nullptr;
    const auto is_same = [&](const BrewEquation& e) {
        return e.brew == left_out.brew && e.mash == left_out.mash && e.quantity == left_out.quantity;
    };
    if (std::ranges::count_if(model.equations, is_same) > 1) return nullptr;
    const auto found = std::ranges::find_if(model.stand_ins, [&](const StandIn& s) {
        return s.instead_of == left_out.quantity && s.expectation.brew == left_out.brew &&
               s.expectation.mash == left_out.mash;
    });
    return found == model.stand_ins.end() ? nullptr : &found->expectation;
}

BrewModel without(const BrewModel& model, std::size_t i) {
    BrewModel rest = model;
    if (const BrewEquation* instead = stand_in_for(model, i))
        rest.equations[i] = *instead;
    else
        rest.equations.erase(rest.equations.begin() + static_cast<std::ptrdiff_t>(i));
    return rest;
}

namespace {

BrewModel model_of(const ReconcileInput& in) {
    BrewModel model;
    for (const auto& companion : in.earlier_in_fermenter) add_companion(companion, model);
    model.asked = model.brews.size();
    if (!add_brew(in, model)) return {}; // nothing to reconcile against: the caller says so
    for (const auto& companion : in.later_in_fermenter) add_companion(companion, model);
    for (auto& e : model.equations) e.own_sd = std::max(e.own_sd, least_own_sd(e, in.brewhouse.volume.value()));
    if (in.untied_before + in.untied_after > 0)
        model.remarks.push_back(
            fmt::format("{} other brews share its fermenter, too many to balance together: it is balanced by itself{}",
                        in.untied_before + in.untied_after,
                        in.untied_before > 0 ? ", without what was read in the fermenter" : ""));
    return model;
}

ReconcileInput by_itself(const ReconcileInput& in) {
    ReconcileInput alone = in;
    alone.earlier_in_fermenter.clear();
    alone.later_in_fermenter.clear();
    alone.untied_before += in.earlier_in_fermenter.size();
    alone.untied_after += in.later_in_fermenter.size();
    return alone;
}

} // namespace

BrewModel brew_model(const ReconcileInput& in) {
    if (in.earlier_in_fermenter.size() + in.later_in_fermenter.size() < most_in_fermenter) {
        BrewModel model = model_of(in);
        if (UnknownsOf(model).count() <= most_unknowns) return model;
    }
    return model_of(by_itself(in));
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
        if (is_read(model, model.asked, 0, quantity, gravity ? "gravity" : "volume")) continue;
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
        if (auto e = gravity ? gravity_equation(in, reading, quantity) : volume_equation(in, reading, quantity)) {
            e->brew = model.asked;
            out.push_back(*e);
        }
    }
    return out;
}

} // namespace lotwort::infer_detail
