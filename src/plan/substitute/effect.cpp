#include "effect.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/mash_grist.hpp>
#include <lotwort/brew/meant_figures.hpp>
#include <lotwort/core/error.hpp>

namespace lotwort::plan {

namespace {

const Item& item_called(const SubstituteRequest& request, const std::string& name) {
    const auto found = std::ranges::find(request.items, name, &Item::name);
    LOTWORT_CHECK(found != request.items.end());
    return *found;
}
const Item& item_called(const SubstituteRequest&&, const std::string&) = delete;

const LotState& lot_coded(const SubstituteRequest& request, const std::string& code) {
    const auto found = std::ranges::find(request.lots, code, [](const LotState& s) { return s.lot.code; });
    LOTWORT_CHECK(found != request.lots.end());
    return *found;
}
const LotState& lot_coded(const SubstituteRequest&&, const std::string&) = delete;

Effect effect_of(const Forecast& forecast) {
    Effect effect;
    effect.original_gravity_sg = forecast.original_gravity_sg;
    effect.final_gravity_sg = forecast.final_gravity_sg;
    effect.volume_l = forecast.volume_l;
    effect.colour_ebc = forecast.colour_ebc;
    effect.bitterness_ibu = forecast.bitterness_ibu;
    effect.alcohol_abv_pct = forecast.alcohol_abv_pct;
    return effect;
}

// The grist's own figures: enzymes by mass, extract with its lots' uncertainty (lines of one lot share its error).
void add_grist(const std::vector<WeighedMalt>& weighed, const Forecast& forecast, Effect& effect) {
    double mass = 0.0, power = 0.0, power_variance = 0.0;
    for (const WeighedMalt& malt : weighed) {
        const double kg = malt.mass.value();
        mass += kg;
        power += kg * malt.figures.diastatic_power_wk.value;
        power_variance += std::pow(kg * malt.figures.diastatic_power_wk.sd, 2);
    }
    if (mass <= 0.0) return;
    effect.diastatic_power_wk = normal_estimate(power / mass, std::sqrt(power_variance) / mass);
    effect.extract_kg = normal_estimate(forecast.extract_grist_kg, mash_grist(weighed).extract_sd_kg);
}

std::vector<WeighedMalt> grist_of(const SubstituteRequest& request, const PlannedBrew& planned,
                                  const BrewToFill& brew) {
    std::vector<WeighedMalt> weighed;
    for (const PlannedLine& line : planned.lines) {
        if (line.line >= static_cast<int>(brew.recipe.grist.size())) break;
        for (const TakenLot& taken : line.allotment.taken) {
            const LotState& state = lot_coded(request, taken.lot);
            const MaltFigures figures = malt_figures(item_called(request, state.lot.item), state.lot, brew.date);
            weighed.push_back({taken.lot, taken.amount.kilograms(), figures, Instrument{}});
        }
    }
    return weighed;
}

// The oil a lot states: the latest retest not after the day, else the certificate.
std::optional<double> oil_on(const Lot& lot, Date day) {
    std::optional<double> oil;
    if (lot.certificate) oil = lot.certificate->oil_ml_per_100g;
    std::optional<Date> newest;
    for (const Retest& retest : lot.retests)
        if (retest.found.oil_ml_per_100g && retest.on <= day && (!newest || retest.on >= *newest)) {
            oil = retest.found.oil_ml_per_100g;
            newest = retest.on;
        }
    return oil;
}

// What hops bring that go in late: the rules hold their mass, their oil is for the brewer's nose.
void add_oil(const SubstituteRequest& request, const PlannedBrew& planned, const BrewToFill& brew, Effect& effect) {
    const auto first = static_cast<int>(brew.recipe.grist.size());
    double ml = 0.0;
    bool any = false;
    for (const PlannedLine& line : planned.lines) {
        if (line.line < first || line.line >= first + static_cast<int>(brew.recipe.hops.size())) continue;
        if (is_bittering(line.stage, line.minutes)) continue;
        for (const TakenLot& taken : line.allotment.taken) {
            const auto oil = oil_on(lot_coded(request, taken.lot).lot, brew.date);
            if (!oil) return;
            any = true;
            ml += taken.amount.grams().value() / 100.0 * *oil;
        }
    }
    if (any) effect.hop_oil_ml = ml;
}

// How much of what was meant is noticed: a little, plainly, or much.
std::string how(double off, double little, double much) {
    return std::abs(off) < little ? "a little " : std::abs(off) < much ? "" : "much ";
}

std::string to_notice(const Effect& effect, const Forecast& nominal, const std::vector<std::string>& stand_ins) {
    std::vector<std::string> parts;
    const double colour = effect.colour_ebc.value - nominal.colour_ebc.value;
    const double bitter = effect.bitterness_ibu.value - nominal.bitterness_ibu.value;
    const double gravity = effect.original_gravity_sg.value - nominal.original_gravity_sg.value;
    if (std::abs(colour) >= 0.5)
        parts.push_back(fmt::format("a shade {} ({:.1f} against {:.1f} EBC)", colour > 0.0 ? "darker" : "paler",
                                    effect.colour_ebc.value, nominal.colour_ebc.value));
    if (std::abs(bitter) >= 1.0)
        parts.push_back(
            fmt::format("{}{} bitter ({:.0f} against {:.0f} IBU)",
                        how(bitter, 0.15 * nominal.bitterness_ibu.value, 0.3 * nominal.bitterness_ibu.value),
                        bitter > 0.0 ? "more" : "less", effect.bitterness_ibu.value, nominal.bitterness_ibu.value));
    if (std::abs(gravity) >= 0.0005)
        parts.push_back(fmt::format("{}{} ({:.4f} against {:.4f})", how(gravity, 0.003, 0.008),
                                    gravity > 0.0 ? "stronger" : "weaker", effect.original_gravity_sg.value,
                                    nominal.original_gravity_sg.value));
    if (!stand_ins.empty()) parts.push_back(fmt::format("the taste of {}", fmt::join(stand_ins, ", ")));
    if (parts.empty()) return "nothing: strength, colour and bitterness stay";
    return fmt::format("{}", fmt::join(parts, "; "));
}

// Grains and milk that some must not drink: by the malt's class, and by the name for lactose.
std::string allergen_of(const Item& item) {
    const std::string of_class = item.malt_class.value_or("");
    if (of_class == "wheat" || of_class == "rye" || of_class == "oats") return of_class;
    for (const char* word : {"wheat", "rye", "oat", "lactose"})
        if ((" " + item.name).find(std::string(" ") + word) != std::string::npos) return word;
    return {};
}

void say_stand_in(SubstituteAnswer& answer, const std::string& brew, const Item& asked, const Item& given) {
    const std::string before = allergen_of(asked), now = allergen_of(given);
    if (before == now) return;
    std::string text =
        now.empty() ? fmt::format("{}: {} in place of {}: less {}", brew, given.name, asked.name, before)
                    : fmt::format("{}: {} in place of {} brings {} in, an allergen", brew, given.name, asked.name, now);
    if (std::ranges::find(answer.says, text) == answer.says.end()) answer.says.push_back(std::move(text));
}

bool stands_already(const StandingBrew& standing, const Reservation& made) {
    return std::ranges::find(standing.has.plan.reserved, made) != standing.has.plan.reserved.end();
}

} // namespace

Plan bare_plan(const BrewToFill& brew) {
    Plan plan;
    plan.code = brew.code;
    plan.date = brew.date;
    plan.recipe = brew.recipe.name;
    plan.brewhouse = brew.brewhouse.name;
    plan.volume = brew.volume;
    return plan;
}

Effect nominal_effect(const SubstituteRequest& request, const StandingBrew& standing) {
    const BrewToFill& brew = request.brews[standing.brew];
    std::vector<WeighedMalt> weighed = grist_of(request, standing.has, brew);
    for (const PlannedLine& line : standing.has.lines) {
        if (line.line >= static_cast<int>(brew.recipe.grist.size()) || !line.is_short()) continue;
        const auto item = std::ranges::find(standing.items, line.item, &Item::name);
        weighed.push_back({line.item, line.allotment.missing.kilograms(), malt_figures(*item), Instrument{}});
    }
    Effect effect = effect_of(standing.nominal);
    add_grist(weighed, standing.nominal, effect);
    return effect;
}

void add_plan(const SubstituteRequest& request, const StandingBrew& standing, Plan plan,
              const std::vector<Lacking>& lacking, SubstituteAnswer& answer) {
    BrewToFill brew = request.brews[standing.brew];
    brew.date = plan.date;
    answer.scale[brew.code] = *plan.volume / brew.volume;
    brew.volume = *plan.volume;
    // one function computes forecast and effect: that of a plan with these reservations
    const PlannedBrew planned = as_booked(plan_request(brew, request.items, request.lots), plan, lacking);
    Effect effect = effect_of(planned.forecast);
    add_grist(grist_of(request, planned, brew), planned.forecast, effect);
    add_oil(request, planned, brew, effect);
    std::vector<std::string> stand_ins;
    for (const Reservation& made : plan.reserved) {
        const std::string& asked = planned.lines[static_cast<std::size_t>(made.line)].item;
        const bool changed = !stands_already(standing, made);
        if (made.amount.measure == Measure::mass)
            answer.lines.push_back({brew.code, made.line, asked, made.lot, made.amount.kilograms().value(), changed});
        if (!made.instead_of || !changed) continue;
        const Item& given = item_called(request, lot_coded(request, made.lot).lot.item);
        say_stand_in(answer, brew.code, item_called(request, asked), given);
        std::string text = given.name + " in place of " + asked;
        if (std::ranges::find(stand_ins, text) == stand_ins.end()) stand_ins.push_back(std::move(text));
    }
    effect.to_notice = to_notice(effect, standing.nominal, stand_ins);
    answer.effect[brew.code] = std::move(effect);
    plan.awaited.clear();
    if (plan.adopted) // any other is measured by drawing it up anew
        for (const Lacking& lack : lacking) plan.awaited.push_back({lack.line, lack.missing});
    answer.plans.push_back(std::move(plan));
}

void add_cost(const SubstituteRequest& request, SubstituteAnswer& answer) {
    answer.cost.reset();
    double sum = 0.0;
    for (const AnswerLine& line : answer.lines) {
        const Lot& lot = lot_coded(request, line.lot).lot;
        if (!lot.price || lot.received_amount.measure != Measure::mass || lot.received_amount.units <= 0) return;
        sum += line.mass_kg * static_cast<double>(lot.price->minor) / 100.0 / lot.received_amount.kilograms().value();
    }
    answer.cost = sum;
}

} // namespace lotwort::plan
