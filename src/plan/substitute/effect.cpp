#include "effect.hpp"
#include "adopted_plan.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/mash_grist.hpp>
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
    effect.volume_l = forecast.volume_l;
    effect.colour_ebc = forecast.colour_ebc;
    effect.bitterness_ibu = forecast.bitterness_ibu;
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

std::string to_notice(const Effect& effect, const Forecast& nominal, const std::vector<std::string>& stand_ins) {
    std::vector<std::string> parts;
    const double colour = effect.colour_ebc.value - nominal.colour_ebc.value;
    const double bitter = effect.bitterness_ibu.value - nominal.bitterness_ibu.value;
    const double gravity = effect.original_gravity_sg.value - nominal.original_gravity_sg.value;
    if (std::abs(colour) >= 0.5)
        parts.push_back(fmt::format("a shade {} ({:.1f} against {:.1f} EBC)", colour > 0.0 ? "darker" : "paler",
                                    effect.colour_ebc.value, nominal.colour_ebc.value));
    if (std::abs(bitter) >= 1.0)
        parts.push_back(fmt::format("a little {} bitter ({:.0f} against {:.0f} IBU)", bitter > 0.0 ? "more" : "less",
                                    effect.bitterness_ibu.value, nominal.bitterness_ibu.value));
    if (std::abs(gravity) >= 0.0005)
        parts.push_back(fmt::format("a little {} ({:.4f} against {:.4f})", gravity > 0.0 ? "stronger" : "weaker",
                                    effect.original_gravity_sg.value, nominal.original_gravity_sg.value));
    if (!stand_ins.empty()) parts.push_back(fmt::format("the taste of {}", fmt::join(stand_ins, ", ")));
    if (parts.empty()) return "nothing: strength, colour and bitterness stay, and so do malts and hops";
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
        now.empty() ? fmt::format("{}: {} in place of {} takes {} out", brew, given.name, asked.name, before)
                    : fmt::format("{}: {} in place of {} brings {} in, an allergen", brew, given.name, asked.name, now);
    if (std::ranges::find(answer.says, text) == answer.says.end()) answer.says.push_back(std::move(text));
}

double cost_per_kg(const SubstituteRequest& request, const LotState& state, bool& known) {
    double money = 0.0, kg = 0.0;
    const auto count = [&](const Lot& lot) {
        if (!lot.price || lot.received_amount.measure != Measure::mass) return;
        money += static_cast<double>(lot.price->minor) / 100.0;
        kg += lot.received_amount.kilograms().value();
    };
    count(state.lot);
    known = kg > 0.0;
    if (known) return money / kg;
    for (const LotState& other : request.lots)
        if (other.lot.item == state.lot.item) count(other.lot);
    if (kg > 0.0) return money / kg;
    const ItemKind kind = item_called(request, state.lot.item).kind;
    for (const LotState& other : request.lots) {
        const auto item = std::ranges::find(request.items, other.lot.item, &Item::name);
        if (item != request.items.end() && item->kind == kind) count(other.lot);
    }
    return kg > 0.0 ? money / kg : 0.0;
}

} // namespace

// As the items' cards have it; oil is stated of lots alone.
Effect recipe_effect(const SubstituteRequest& request, const Nominal& nominal) {
    std::vector<WeighedMalt> weighed;
    for (const Need& need : nominal.needs)
        if (need.is_grist && need.mass_kg > 0.0)
            weighed.push_back(
                {need.item, Kilograms(need.mass_kg), malt_figures(item_called(request, need.item)), Instrument{}});
    Effect effect = effect_of(nominal.forecast);
    add_grist(weighed, nominal.forecast, effect);
    return effect;
}

void add_effects(const SubstituteRequest& request, SubstituteAnswer& answer, const std::vector<Nominal>& nominal) {
    const std::vector<Plan> plans = adopted_plans(request, answer);
    for (std::size_t b = 0; b < request.brews.size(); ++b) {
        const BrewToFill brew = as_answered(request.brews[b], answer);
        if (plans[b].cancelled) continue;
        // one function computes forecast and effect: that of a plan with these reservations
        const PlannedBrew planned = as_booked(plan_request(brew, request.items, request.lots), plans[b]);
        Effect effect = effect_of(planned.forecast);
        add_grist(grist_of(request, planned, brew), planned.forecast, effect);
        add_oil(request, planned, brew, effect);
        std::vector<std::string> stand_ins;
        for (const AnswerLine& line : answer.lines) {
            if (line.brew != brew.code) continue;
            const Item& given = item_called(request, lot_coded(request, line.lot).lot.item);
            if (given.name == line.recipe_item) continue;
            say_stand_in(answer, brew.code, item_called(request, line.recipe_item), given);
            std::string text = given.name + " in place of " + line.recipe_item;
            if (std::ranges::find(stand_ins, text) == stand_ins.end()) stand_ins.push_back(std::move(text));
        }
        effect.to_notice = to_notice(effect, nominal[b].forecast, stand_ins);
        answer.effect[brew.code] = std::move(effect);
    }
    for (const AnswerLine& line : answer.lines) {
        bool known = true;
        const LotState& state = lot_coded(request, line.lot);
        answer.cost += line.mass_kg * cost_per_kg(request, state, known);
        const std::string text = fmt::format("{} states no price: counted at what its like cost", line.lot);
        if (!known && std::ranges::find(answer.says, text) == answer.says.end()) answer.says.push_back(text);
    }
}

} // namespace lotwort::plan
