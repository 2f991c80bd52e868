#include "case.hpp"
#include "cards.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/colour.hpp>

namespace lotwort::plan {

namespace {

constexpr double undated_days = 3650.0; // a lot without a best-before counts ten years

bool is_class(const Item& item, std::initializer_list<std::string_view> classes) {
    return std::ranges::find(classes, item.malt_class.value_or("")) != classes.end();
}

double ratio_distance(double a, double b) {
    return a > 0.0 && b > 0.0 ? std::abs(std::log(a / b)) : no_limit;
}

// S4: may the other item stand in for this one, and with what preference? The user's word comes first.
// A malt is near by the colour of the lot itself: a certificate may say what the card does not.
std::optional<double> stands_for(const Item& other, const Lot& lot, Date day, const CaseLine& line,
                                 const Tolerances& t) {
    const Item& item = *line.item;
    if (other.kind != item.kind) return std::nullopt;
    for (const StandIn& named : other.stands_for)
        if (named.item == item.name)
            return named.allowed == Allowed::never ? std::nullopt : std::optional(named.preference.value_or(1.0));
    if (item.kind == ItemKind::hop) {
        if (line.kind == LineKind::bittering || (item.group && item.group == other.group)) return 1.0;
        return std::nullopt;
    }
    if (!item.malt_class || item.malt_class != other.malt_class) return std::nullopt;
    const double a = malt_figures(item).colour_ebc.value, b = malt_figures(other, lot, day).colour_ebc.value;
    bool near = false;
    if (is_class(item, {"base", "wheat"})) near = std::abs(a - b) <= t.base_near_ebc + 1e-9;
    if (is_class(item, {"high-kilned"})) near = std::abs(a - b) <= t.high_kilned_near_ebc + 1e-9;
    if (is_class(item, {"caramel", "roasted"})) near = ratio_distance(a, b) <= -std::log(t.colour_ratio) + 1e-9;
    return near ? std::optional(1.0) : std::nullopt;
}

// How far the lot is from what the recipe asked for (planning: nearest).
double distance(const Item& item, double ebc, const Tolerances& t) {
    if (item.kind == ItemKind::hop) return 1.0;
    const double nominal = malt_figures(item).colour_ebc.value;
    if (is_class(item, {"caramel", "roasted"})) {
        const double off = ratio_distance(ebc, nominal);
        return 1.0 + (std::isfinite(off) ? off / -std::log(t.colour_ratio) : 10.0);
    }
    const double unit = is_class(item, {"high-kilned"}) ? t.high_kilned_near_ebc : t.base_near_ebc;
    return 1.0 + std::abs(ebc - nominal) / unit;
}

bool may_be_used(const LotState& state, const BrewToFill& brew, bool allow_past_best) {
    const Lot& lot = state.lot;
    if (lot.held || lot.received > brew.date || state.on_hand.measure != Measure::mass) return false;
    return allow_past_best || !lot.best_before || *lot.best_before >= brew.date;
}

class Maker {
public:
    Maker(const SubstituteRequest& request, bool only_own, bool half_steps)
        : request_(request), only_own_(only_own), half_steps_(half_steps) {}

    SubstitutionCase make() {
        make_lots();
        for (const BrewToFill& brew : request_.brews) {
            for (const CaseBrew& other : out_.brews)
                if (other.brew->code == brew.code)
                    throw Error(ErrorKind::refused, fmt::format("two brews are called {}", brew.code),
                                "give each plan a code of its own");
            make_brew(brew);
        }
        return std::move(out_);
    }

private:
    void say(std::string sentence) {
        if (std::ranges::find(out_.says, sentence) == out_.says.end()) out_.says.push_back(std::move(sentence));
    }
    void say_of(const std::string& lot, std::string sentence) { out_.says_of.emplace(lot, std::move(sentence)); }
    void make_lots();
    void make_brew(const BrewToFill& brew);
    void make_line(const BrewToFill& brew, const Need& need, CaseBrew& made);
    void make_limits(const BrewToFill& brew, CaseBrew& made);
    void add_candidate(CaseLine& line, const BrewToFill& brew, std::size_t at, double preference);

    const SubstituteRequest& request_;
    bool only_own_, half_steps_;
    SubstitutionCase out_;
};

// A lot without a price costs what the priced lots of its item cost by the kilogram, else those of its kind.
void Maker::make_lots() {
    struct Mean {
        double money = 0.0, kg = 0.0;
    };
    std::map<std::string, Mean> by_item;
    std::map<ItemKind, Mean> by_kind;
    for (const LotState& state : request_.lots) {
        const Item* item = item_called(request_.items, state.lot.item);
        if (!state.lot.price || item == nullptr || state.lot.received_amount.measure != Measure::mass) continue;
        const double kg = state.lot.received_amount.kilograms().value();
        const double money = static_cast<double>(state.lot.price->minor) / 100.0;
        for (Mean* mean : {&by_item[item->name], &by_kind[item->kind]}) {
            mean->money += money;
            mean->kg += kg;
        }
    }
    for (const LotState& state : request_.lots) {
        CaseLot made{&state};
        if (state.on_hand.measure == Measure::mass) made.free_kg = std::max(0.0, state.free().kilograms().value());
        const Item* item = item_called(request_.items, state.lot.item);
        if (item != nullptr && made.free_kg > 0.0) {
            for (const BrewToFill& brew : request_.brews)
                made.crumb_kg = std::max(made.crumb_kg, weighing_of(item->kind, brew.brewhouse).crumb_kg);
            const Mean& own = by_item[item->name];
            const Mean& mean = own.kg > 0.0 ? own : by_kind[item->kind];
            if (state.lot.price && state.lot.received_amount.units > 0)
                made.cost_per_kg =
                    static_cast<double>(state.lot.price->minor) / 100.0 / state.lot.received_amount.kilograms().value();
            else if (mean.kg > 0.0)
                made.cost_per_kg = mean.money / mean.kg;
        }
        out_.lots.push_back(made);
    }
}

void Maker::add_candidate(CaseLine& line, const BrewToFill& brew, std::size_t at, double preference) {
    const Lot& lot = out_.lots[at].state->lot;
    Candidate c;
    c.lot = at;
    c.item = item_called(request_.items, lot.item);
    const bool own = c.item == line.item;
    if (line.kind == LineKind::grist) {
        const MaltFigures figures = malt_figures(*c.item, lot, brew.date);
        c.extract = figures.extract_as_is.value * learned_share(brew.learned, lot.code, lot.item);
        c.lovibond = wort::malt_lovibond(Ebc(std::max(0.0, figures.colour_ebc.value))).value();
        c.power_wk = figures.diastatic_power_wk.value;
        c.distance = own ? 0.0 : preference * distance(*line.item, figures.colour_ebc.value, request_.tolerances);
        if (figures.diastatic_power_wk.origin == Origin::typical && !is_class(*c.item, {"caramel", "roasted"}))
            say_of(lot.code,
                   fmt::format("the enzymes of {} are taken as typical of its class: nobody states them", lot.code));
        if (c.extract <= 0.0) return;
    } else {
        const HopAge age = hop_age(*c.item, lot, brew.date);
        c.alpha = age.alpha_pct.value / 100.0;
        c.distance = own ? 0.0 : preference;
        if (line.kind == LineKind::bittering && !age.analysed)
            say_of(lot.code,
                   fmt::format("the stated alpha of {} is taken as it is: no day of analysis is stated", lot.code));
    }
    c.days_to_best = lot.best_before ? static_cast<double>((*lot.best_before - brew.date).count()) : undated_days;
    line.candidates.push_back(c);
}

double line_tolerance(const Item& item, const Tolerances& t) {
    if (is_class(item, {"caramel"})) return t.caramel_extract;
    return is_class(item, {"roasted"}) ? t.roasted_extract : t.line_extract;
}

void Maker::make_line(const BrewToFill& brew, const Need& need, CaseBrew& made) {
    CaseLine line;
    line.brew = out_.brews.size();
    line.line = need.line;
    line.item = item_called(request_.items, need.item);
    LOTWORT_CHECK(line.item != nullptr);
    line.mass_kg = need.mass_kg;
    line.weighing = weighing_of(need.kind, brew.brewhouse);
    line.band = line.weighing.step_kg;
    if (need.is_grist) {
        line.target =
            need.mass_kg * malt_figures(*line.item).extract_as_is.value * learned_share(brew.learned, "", need.item);
        line.tolerance = line_tolerance(*line.item, request_.tolerances);
        made.extract_kg += line.target;
    } else if (is_bittering(need.stage, need.minutes)) {
        line.kind = LineKind::bittering;
        const auto worth =
            hop_minutes(need.stage, *need.minutes, need.temperature, Celsius(kit_of(brew.brewhouse).boiling_c));
        line.utilisation = wort::tinseth_utilisation(made.nominal.forecast.boil_gravity.value(), worth.minutes.value());
        line.target = need.mass_kg * hop_age(*line.item).alpha_pct.value / 100.0 * line.utilisation;
        made.bittering += line.target;
        if (half_steps_)
            made.bittering_tolerance =
                std::max(made.bittering_tolerance, 0.5 * line.weighing.step_kg * line.target / line.mass_kg);
    } else {
        line.kind = LineKind::late;
        line.target = need.mass_kg;
        line.tolerance = std::max(request_.tolerances.late_mass * line.target, 0.5 * line.weighing.step_kg);
    }
    for (std::size_t at = 0; at < out_.lots.size(); ++at) {
        const LotState& state = *out_.lots[at].state;
        const Item* item = item_called(request_.items, state.lot.item);
        if (item == nullptr || out_.lots[at].free_kg <= 0.0) continue;
        if (!may_be_used(state, brew, request_.allow_past_best)) continue;
        if (item == line.item)
            add_candidate(line, brew, at, 1.0);
        else if (!only_own_)
            if (const auto preference = stands_for(*item, state.lot, brew.date, line, request_.tolerances))
                add_candidate(line, brew, at, *preference);
    }
    out_.lines.push_back(std::move(line));
}

void Maker::make_limits(const BrewToFill& brew, CaseBrew& made) {
    const Tolerances& t = request_.tolerances;
    double mass = 0.0, colour = 0.0, power = 0.0;
    std::map<std::string, double> of_item;
    for (const Need& need : made.nominal.needs) {
        if (!need.is_grist) continue;
        const MaltFigures figures = malt_figures(*item_called(request_.items, need.item));
        mass += need.mass_kg;
        colour += need.mass_kg * wort::malt_lovibond(Ebc(std::max(0.0, figures.colour_ebc.value))).value();
        power += need.mass_kg * figures.diastatic_power_wk.value;
        of_item[need.item] += need.mass_kg;
    }
    const double step = weighing_of(ItemKind::malt, brew.brewhouse).step_kg;
    made.extract_tolerance_kg = std::max(t.brew_extract * made.extract_kg, 0.5 * step);
    made.bittering_tolerance = std::max(made.bittering_tolerance, t.bittering * made.bittering);
    const double per_unit = wort::malt_colour_units(1.0, 1.0, brew.volume.value());
    const double ebc = wort::morey_ebc(colour * per_unit), off = std::max(t.colour_ebc, t.colour * ebc);
    made.colour_low = wort::morey_colour_units(std::max(0.0, ebc - off)) / per_unit;
    made.colour_high = wort::morey_colour_units(ebc + off) / per_unit;
    made.power_floor_wk = brew.recipe.diastatic_floor ? brew.recipe.diastatic_floor->value()
                          : mass > 0.0                ? std::min(t.diastatic_power_wk, power / mass)
                                                      : 0.0;
    for (const Item& item : request_.items) {
        if (!item.max_share || item.kind == ItemKind::hop) continue;
        const double own = mass > 0.0 && of_item.contains(item.name) ? of_item[item.name] / mass : 0.0;
        const double most = item.max_share->value() / 100.0;
        if (own > most + 1e-12)
            say(fmt::format("the recipe of {} itself has {:.3g} % of {}, more than the {:.3g} % stated for it: its own "
                            "share is the limit",
                            brew.code, 100.0 * own, item.name, 100.0 * most));
        made.most_share[item.name] = std::max(own, most);
    }
}

// What a line's masses may count to at the most; bittering lines share what the brew has in all.
double most_of(const CaseLine& line, const CaseBrew& brew) {
    switch (line.kind) {
    case LineKind::grist:
        return line.target * (1.0 + line.tolerance);
    case LineKind::bittering:
        return brew.bittering + brew.bittering_tolerance;
    case LineKind::late:
        break;
    }
    return line.target + line.tolerance;
}

void Maker::make_brew(const BrewToFill& brew) {
    if (brew.learned)
        for (const std::string& remark : brew.learned->remarks) say(remark);
    CaseBrew made;
    made.brew = &brew;
    made.nominal = nominal_brew(brew, request_.items);
    for (const Need& need : made.nominal.needs)
        if ((need.is_grist || need.is_hop_line) && need.mass_kg > 0.0) make_line(brew, need, made);
    make_limits(brew, made);
    for (CaseLine& line : out_.lines)
        if (line.brew == out_.brews.size()) line.most = most_of(line, made);
    out_.brews.push_back(std::move(made));
}

} // namespace

SubstitutionCase substitution_case(const SubstituteRequest& request, bool only_own, bool half_steps) {
    return Maker(request, only_own, half_steps).make();
}

} // namespace lotwort::plan
