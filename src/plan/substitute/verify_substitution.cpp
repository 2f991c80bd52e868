#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/plan/verify_substitution.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/colour.hpp>

namespace lotwort::plan {

namespace {

constexpr double exact = 1e-6; // kg, or a share's last digit

struct Take {
    const AnswerLine* line;
    const LotState* state;
    const Item* item;
    const Item* asked;
};

class Pencil {
public:
    Pencil(const SubstituteRequest& request, const SubstituteAnswer& answer) : request_(request), answer_(answer) {}

    std::vector<std::string> look() {
        for (const AnswerLine& line : answer_.lines) {
            const LotState* state = nullptr;
            for (const LotState& s : request_.lots)
                if (s.lot.code == line.lot) state = &s;
            const Item* item = state != nullptr ? card(state->lot.item) : nullptr;
            if (item == nullptr || card(line.recipe_item) == nullptr) {
                found_.push_back(fmt::format("S1: lot {} is not in stock", line.lot));
                return found_;
            }
            takes_.push_back({&line, state, item, card(line.recipe_item)});
        }
        lots();
        for (const BrewToFill& brew : request_.brews) look_at(brew);
        objective();
        return found_;
    }

private:
    const Item* card(const std::string& name) const {
        for (const Item& item : request_.items)
            if (item.name == name) return &item;
        return nullptr;
    }
    void breach(bool broken, std::string words) {
        if (broken) found_.push_back(std::move(words));
    }
    double scale(const std::string& brew) const {
        const auto at = answer_.scale.find(brew);
        return at == answer_.scale.end() ? 1.0 : at->second;
    }
    Date day(const BrewToFill& brew) const {
        for (const Move& move : answer_.moves)
            if (move.brew == brew.code) return move.to;
        return brew.date;
    }
    double extract(const BrewToFill& brew, const Take& take) const {
        return malt_figures(*take.item, take.state->lot, day(brew)).extract_as_is.value *
               (1.0 + learned(brew, {take.state->lot.code, take.item->name}));
    }
    static double learned(const BrewToFill& brew, const std::vector<std::string>& names) {
        if (brew.learned)
            for (const std::string& name : names)
                if (const auto at = brew.learned->malt(name)) return brew.learned->mean[*at];
        return 0.0;
    }
    void lots();
    void look_at(const BrewToFill& brew);
    void take(const BrewToFill& brew, const Need& need, const Take& taken);
    void grist(const BrewToFill& brew, const std::vector<Need>& needs);
    void shares(const BrewToFill& brew, const std::map<std::string, double>& asked,
                const std::map<std::string, double>& given);
    void hops(const BrewToFill& brew, const Nominal& nominal);
    void objective();
    [[nodiscard]] bool may_stand_in(const BrewToFill& brew, const Take& taken, bool bittering) const;
    [[nodiscard]] double apart(const BrewToFill& brew, const Take& taken) const;

    const SubstituteRequest& request_;
    const SubstituteAnswer& answer_;
    std::vector<Take> takes_;
    std::vector<std::string> found_;
    double nearest_ = 0.0, oldest_ = 0.0;
};

// S1 in sum, S3.
void Pencil::lots() {
    int crumbs = 0;
    for (const LotState& state : request_.lots) {
        double taken = 0.0, crumb = 0.0;
        for (const Take& t : takes_)
            if (t.state == &state) {
                taken += t.line->mass_kg;
                for (const BrewToFill& brew : request_.brews)
                    crumb = std::max(crumb, t.item->kind == ItemKind::hop
                                                ? brew.brewhouse.hop_crumb.value_or(Kilograms(0.02)).value()
                                                : brew.brewhouse.crumb.value_or(Kilograms(0.25)).value());
            }
        if (taken <= 0.0) continue;
        const double left = state.free().kilograms().value() - taken;
        breach(left < -exact, fmt::format("S1: {} kg more than is free of {}", -left, state.lot.code));
        if (left > exact && left < crumb - exact) ++crumbs;
    }
    breach(crumbs != answer_.crumbs, fmt::format("S3: {} lots are left with a crumb, not {}", crumbs, answer_.crumbs));
}

bool Pencil::may_stand_in(const BrewToFill& brew, const Take& taken, bool bittering) const {
    const Item &a = *taken.asked, &b = *taken.item;
    if (&a == &b) return true;
    if (a.kind != b.kind) return false;
    for (const StandIn& s : b.stands_for)
        if (s.item == a.name) return s.allowed != Allowed::never;
    if (a.kind == ItemKind::hop) return bittering || (a.group && b.group && *a.group == *b.group);
    if (!a.malt_class || !b.malt_class || *a.malt_class != *b.malt_class) return false;
    const Tolerances& t = request_.tolerances;
    const double x = malt_figures(a).colour_ebc.value,
                 y = malt_figures(b, taken.state->lot, day(brew)).colour_ebc.value;
    const std::string& kept = *a.malt_class;
    if (kept == "base" || kept == "wheat") return std::abs(x - y) <= t.base_near_ebc + exact;
    if (kept == "high-kilned") return std::abs(x - y) <= t.high_kilned_near_ebc + exact;
    if (kept == "caramel" || kept == "roasted")
        return y >= t.colour_ratio * x - exact && x >= t.colour_ratio * y - exact;
    return false;
}

double Pencil::apart(const BrewToFill& brew, const Take& taken) const {
    if (taken.asked == taken.item) return 0.0;
    double preference = 1.0;
    for (const StandIn& s : taken.item->stands_for)
        if (s.item == taken.asked->name) preference = s.preference.value_or(1.0);
    if (taken.item->kind == ItemKind::hop) return preference;
    const Tolerances& t = request_.tolerances;
    const double now = malt_figures(*taken.item, taken.state->lot, day(brew)).colour_ebc.value;
    const double asked = malt_figures(*taken.asked).colour_ebc.value;
    const std::string of = taken.asked->malt_class.value_or("");
    if (of == "caramel" || of == "roasted") {
        if (now <= 0.0 || asked <= 0.0) return preference * 11.0;
        return preference * (1.0 + std::abs(std::log(now / asked)) / std::log(1.0 / t.colour_ratio));
    }
    return preference *
           (1.0 + std::abs(now - asked) / (of == "high-kilned" ? t.high_kilned_near_ebc : t.base_near_ebc));
}

// S1's days, S2 and S4, of one take.
void Pencil::take(const BrewToFill& brew, const Need& need, const Take& taken) {
    const Lot& lot = taken.state->lot;
    const std::string where = fmt::format("{} in line {} of {}", lot.code, need.line, brew.code);
    breach(lot.held.has_value(), "S1: on hold: " + where);
    breach(lot.received > day(brew), "S1: not here yet: " + where);
    breach(!request_.allow_past_best && lot.best_before && *lot.best_before < day(brew), "S1: past its date: " + where);
    const bool hop = taken.item->kind == ItemKind::hop;
    const double step = hop ? brew.brewhouse.hop_step.value_or(Kilograms(0.001)).value()
                            : brew.brewhouse.weigh_step.value_or(Kilograms(0.01)).value();
    const double kg = taken.line->mass_kg, free = taken.state->free().kilograms().value();
    const bool whole_lot = std::abs(kg - free) <= exact;
    breach(!whole_lot && std::abs(kg / step - std::round(kg / step)) * step > exact,
           "S2: between two weigh steps: " + where);
    const double target = need.mass_kg * scale(brew.code);
    breach(!whole_lot && kg < std::min(hop ? 0.005 : 0.1, target) - exact, "S2: too little to weigh: " + where);
    const bool bittering = need.is_hop_line && (need.stage == Stage::boil || need.stage == Stage::kettle) &&
                           need.minutes.value_or(Minutes(0.0)).value() >= 30.0;
    breach(!may_stand_in(brew, taken, bittering), "S4: may not stand in: " + where);
}

// S5 to S7.
void Pencil::grist(const BrewToFill& brew, const std::vector<Need>& needs) {
    const Tolerances& t = request_.tolerances;
    const double s = scale(brew.code), step = brew.brewhouse.weigh_step.value_or(Kilograms(0.01)).value();
    double asked_extract = 0.0, extract_kg = 0.0, asked_kg = 0.0, kg = 0.0, asked_power = 0.0, power = 0.0;
    double asked_colour = 0.0, colour = 0.0;
    std::map<std::string, double> asked_of, given_of;
    for (const Need& need : needs) {
        if (!need.is_grist) continue;
        const Item& item = *card(need.item);
        const MaltFigures nominal = malt_figures(item);
        const double target = s * need.mass_kg * nominal.extract_as_is.value * (1.0 + learned(brew, {item.name}));
        double line_extract = 0.0;
        for (const Take& taken : takes_) {
            if (taken.line->brew != brew.code || taken.line->line != need.line) continue;
            const double mass = taken.line->mass_kg, gives = extract(brew, taken) * mass;
            const MaltFigures figures = malt_figures(*taken.item, taken.state->lot, day(brew));
            line_extract += gives;
            kg += mass;
            power += mass * figures.diastatic_power_wk.value;
            colour += mass * wort::malt_lovibond(Ebc(std::max(0.0, figures.colour_ebc.value))).value();
            given_of[taken.item->name] += mass;
            nearest_ += apart(brew, taken) * gives;
        }
        const std::string of = item.malt_class.value_or("");
        const double within = of == "caramel"   ? t.caramel_extract
                              : of == "roasted" ? t.roasted_extract
                                                : t.line_extract;
        breach(
            std::abs(line_extract - target) > within * target + exact,
            fmt::format("S5: line {} of {} gives {} kg extract, not {}", need.line, brew.code, line_extract, target));
        nearest_ += std::max(0.0, std::abs(line_extract - target) - step);
        extract_kg += line_extract;
        asked_extract += target;
        asked_kg += s * need.mass_kg;
        asked_power += s * need.mass_kg * nominal.diastatic_power_wk.value;
        asked_colour += s * need.mass_kg * wort::malt_lovibond(Ebc(std::max(0.0, nominal.colour_ebc.value))).value();
        asked_of[item.name] += s * need.mass_kg;
    }
    if (asked_kg <= exact) return;
    breach(std::abs(extract_kg - asked_extract) > std::max(t.brew_extract * asked_extract, 0.5 * step) + exact,
           fmt::format("S5: {} has {} kg extract, not {}", brew.code, extract_kg, asked_extract));
    const double litres = brew.volume.value() * s;
    const double ebc = wort::morey_ebc(wort::malt_colour_units(colour, 1.0, litres));
    const double asked_ebc = wort::morey_ebc(wort::malt_colour_units(asked_colour, 1.0, litres));
    breach(std::abs(ebc - asked_ebc) > std::max(t.colour_ebc, t.colour * asked_ebc) + 1e-4,
           fmt::format("S6: {} has {} EBC, not {}", brew.code, ebc, asked_ebc));
    const double floor = brew.recipe.diastatic_floor ? brew.recipe.diastatic_floor->value()
                                                     : std::min(t.diastatic_power_wk, asked_power / asked_kg);
    breach(kg > 0.0 && power / kg < floor - 1e-4,
           fmt::format("S7: {} has {} WK, less than {}", brew.code, power / kg, floor));
    shares(brew, asked_of, given_of);
}

// S8.
void Pencil::shares(const BrewToFill& brew, const std::map<std::string, double>& asked,
                    const std::map<std::string, double>& given) {
    double asked_kg = 0.0, given_kg = 0.0;
    for (const auto& [name, kg] : asked) asked_kg += kg;
    for (const auto& [name, kg] : given) given_kg += kg;
    for (const auto& [name, kg] : given) {
        const Item& item = *card(name);
        if (!item.max_share) continue;
        const double own = asked.contains(name) ? asked.at(name) / asked_kg : 0.0;
        const double most = std::max(item.max_share->value() / 100.0, own);
        breach(kg > most * given_kg + exact, fmt::format("S8: {} has {} % of {}, more than {} %", brew.code,
                                                         100.0 * kg / given_kg, name, 100.0 * most));
    }
}

// S9, S10.
void Pencil::hops(const BrewToFill& brew, const Nominal& nominal) {
    const double s = scale(brew.code), step = brew.brewhouse.hop_step.value_or(Kilograms(0.001)).value();
    const Celsius boiling(kit_of(brew.brewhouse).boiling_c);
    double asked = 0.0, given = 0.0, half_step = 0.0;
    for (const Need& need : nominal.needs) {
        if (!need.is_hop_line) continue;
        const double minutes = need.minutes.value_or(Minutes(0.0)).value();
        const bool bittering = minutes >= 30.0 && (need.stage == Stage::boil || need.stage == Stage::kettle);
        double utilisation = 0.0, kg = 0.0;
        if (bittering)
            utilisation =
                wort::tinseth_utilisation(nominal.forecast.boil_gravity.value(),
                                          hop_minutes(need.stage, Minutes(minutes), {}, boiling).minutes.value());
        for (const Take& taken : takes_) {
            if (taken.line->brew != brew.code || taken.line->line != need.line) continue;
            kg += taken.line->mass_kg;
            given += taken.line->mass_kg * utilisation *
                     hop_age(*taken.item, taken.state->lot, day(brew)).alpha_pct.value / 100.0;
            nearest_ += apart(brew, taken) * taken.line->mass_kg;
        }
        const double alpha = hop_age(*card(need.item)).alpha_pct.value / 100.0;
        asked += s * need.mass_kg * utilisation * alpha;
        half_step = std::max(half_step, 0.5 * step * utilisation * alpha);
        if (bittering) continue;
        const double target = s * need.mass_kg;
        breach(std::abs(kg - target) > std::max(request_.tolerances.late_mass * target, 0.5 * step) + exact,
               fmt::format("S10: line {} of {} is {} kg, not {}", need.line, brew.code, kg, target));
        nearest_ += std::max(0.0, std::abs(kg - target) - step);
    }
    const double within =
        std::max(request_.tolerances.bittering * asked, answer_.bittering_by_half_step ? half_step : 0.0);
    breach(std::abs(given - asked) > within + 1e-8,
           fmt::format("S9: {} has {:.4g} of the recipe's bittering", brew.code, asked > 0.0 ? given / asked : 0.0));
}

void Pencil::look_at(const BrewToFill& brew) {
    BrewToFill on_day = brew;
    on_day.date = day(brew);
    const Nominal nominal = nominal_brew(on_day, request_.items);
    for (const Take& taken : takes_) {
        if (taken.line->brew != brew.code) continue;
        const auto need = std::ranges::find(nominal.needs, taken.line->line, &Need::line);
        if (need == nominal.needs.end() || need->item != taken.line->recipe_item)
            found_.push_back(
                fmt::format("S4: {} has no line {} of {}", brew.code, taken.line->line, taken.line->recipe_item));
        else
            take(brew, *need, taken);
        const Lot& lot = taken.state->lot;
        oldest_ += taken.line->mass_kg * (lot.best_before ? double((*lot.best_before - day(brew)).count()) : 3650.0);
    }
    grist(brew, nominal.needs);
    hops(brew, nominal);
}

void Pencil::objective() {
    double expected = answer_.objective;
    if (answer_.kind == AnswerKind::nearest) expected = nearest_;
    if (answer_.kind == AnswerKind::cheapest) expected = answer_.cost;
    if (answer_.kind == AnswerKind::oldest) expected = oldest_;
    if (answer_.kind == AnswerKind::smaller) {
        expected = 0.0;
        for (const BrewToFill& brew : request_.brews) expected -= brew.volume.value() * scale(brew.code);
    }
    if (answer_.kind == AnswerKind::reschedule) {
        expected = 0.0;
        for (const Move& move : answer_.moves) expected += std::abs(double((move.to - move.from).count()));
    }
    breach(std::abs(expected - answer_.objective) > 1e-5 * std::max(1.0, std::abs(expected)),
           fmt::format("the objective is {}, not {}", expected, answer_.objective));
}

} // namespace

std::vector<std::string> breaches(const SubstituteRequest& request, const SubstituteAnswer& answer) {
    if (answer.kind == AnswerKind::buy) return {};
    return Pencil(request, answer).look();
}

} // namespace lotwort::plan
