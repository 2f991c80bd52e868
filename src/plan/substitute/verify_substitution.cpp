#include "standing.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/plan/verify_substitution.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/stock/kinds.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/colour.hpp>

namespace lotwort::plan {

namespace {

constexpr double exact = 1e-6; // kg, or a share's last digit

// The sums of a grist, and of hops.
struct Sums {
    double kg = 0.0, extract = 0.0, power = 0.0, lovibond_kg = 0.0, bitterness = 0.0;
    std::map<std::string, double> of_item;
};

class Pencil {
public:
    Pencil(const SubstituteRequest& request, const SubstituteAnswer& answer)
        : request_(request), answer_(answer), standing_(standing_of(request)) {}

    std::vector<std::string> look() {
        for (const AnswerLine& line : answer_.lines)
            if (state(line.lot) == nullptr) return {fmt::format("S1: lot {} is not in stock", line.lot)};
        stock();
        for (const StandingBrew& brew : standing_.brews)
            if (answer_.scale.contains(code(brew))) look_at(brew);
        return found_;
    }

private:
    void breach(bool broken, std::string words) {
        if (broken) found_.push_back(std::move(words));
    }
    const std::string& code(const StandingBrew& brew) const { return request_.brews[brew.brew].code; }
    const LotState* state(const std::string& lot) const {
        for (const LotState& s : request_.lots)
            if (s.lot.code == lot) return &s;
        return nullptr;
    }
    static const Item& card(const StandingBrew& brew, const std::string& name) {
        return *std::ranges::find(brew.items, name, &Item::name);
    }
    Date day(const StandingBrew& brew) const {
        for (const Move& move : answer_.moves)
            if (move.brew == code(brew)) return move.to;
        return request_.brews[brew.brew].date;
    }
    // Its other malts may have moved.
    bool is_opened(const StandingBrew& brew) const {
        return std::ranges::any_of(answer_.opened,
                                   [&](const std::string& words) { return words.starts_with(code(brew) + ": "); });
    }
    bool is_booked(const std::string& plan) const {
        return std::ranges::find(answer_.plans, plan, &Plan::code) != answer_.plans.end();
    }
    // Of the gap what is still to be got.
    Amount to_get_of(const StandingBrew& brew, const Gap& gap) const {
        for (const ToGet& one : answer_.to_get)
            if (one.brew == code(brew) && one.line == gap.line && one.item == gap.item &&
                one.missing.measure == gap.missing.measure)
                return one.missing;
        return {gap.missing.measure, 0};
    }
    bool fills() const {
        return answer_.kind == AnswerKind::nearest || answer_.kind == AnswerKind::cheapest ||
               answer_.kind == AnswerKind::oldest;
    }
    double learned(const StandingBrew& brew, const std::vector<std::string>& names) const {
        const auto& known = request_.brews[brew.brew].learned;
        if (known)
            for (const std::string& name : names)
                if (const auto at = known->malt(name)) return known->mean[*at];
        return 0.0;
    }
    double alpha(const StandingBrew& brew, const Item& item, const Lot* lot) const {
        return (lot != nullptr ? hop_age(item, *lot, day(brew)) : hop_age(item)).alpha_pct.value / 100.0;
    }
    double utilisation(const StandingBrew& brew, const PlannedLine& line) const {
        const double minutes = line.minutes.value_or(Minutes(0.0)).value();
        if (minutes < 30.0 || (line.stage != Stage::boil && line.stage != Stage::kettle)) return 0.0;
        const Celsius boiling(kit_of(request_.brews[brew.brew].brewhouse).boiling_c);
        return wort::tinseth_utilisation(brew.nominal.boil_gravity.value(),
                                         hop_minutes(line.stage, Minutes(minutes), {}, boiling).minutes.value());
    }
    void put(const StandingBrew& brew, const PlannedLine& line, const std::string& item, const Lot* lot, double kg,
             Sums& sums) const;
    void stock();
    void look_at(const StandingBrew& brew);
    void take(const StandingBrew& brew, const AnswerLine& taken);
    void to_get(const StandingBrew& brew, const PlannedLine& line, const std::string& lacks, Amount missing);
    void line(const StandingBrew& brew, const PlannedLine& line, double brew_extract, double brew_bitterness);
    void whole(const StandingBrew& brew, const Sums& meant, const Sums& given);
    [[nodiscard]] bool gives_its_colour(const StandingBrew& brew, const PlannedLine& line, const Sums& lacking,
                                        const Sums& given) const;
    [[nodiscard]] double darkest_anew(const StandingBrew& brew, std::optional<int> line) const;
    [[nodiscard]] bool may_stand_in(const StandingBrew& brew, const Item& asked, const Item& item, const Lot& lot,
                                    const PlannedLine& line) const;

    const SubstituteRequest& request_;
    const SubstituteAnswer& answer_;
    Standing standing_;
    std::vector<std::string> found_;
    std::set<std::string> by_colour_; // brews in which a line is made up by colour, and not by extract
};

// All that the answer takes of a lot beside what brews that it does not answer have.
void Pencil::stock() {
    for (const LotState& lot : standing_.lots) {
        std::int64_t free = lot.free().units, taken = 0;
        for (const StandingBrew& brew : standing_.brews)
            if (answer_.scale.contains(code(brew)))
                for (const Reservation& had : brew.has.plan.reserved)
                    if (had.lot == lot.lot.code) free += had.amount.units;
        for (const auto* plans : {&request_.plans, &request_.others})
            for (const PlanAsItStands& lender : *plans)
                if (!answer_.scale.contains(lender.kept.code) && is_booked(lender.kept.code))
                    for (const Reservation& had : lender.kept.reserved)
                        if (had.lot == lot.lot.code) free += had.amount.units;
        for (const Plan& plan : answer_.plans)
            for (const Reservation& made : plan.reserved)
                if (made.lot == lot.lot.code) taken += made.amount.units;
        breach(taken > std::max<std::int64_t>(free, 0),
               fmt::format("S1: {} more than is free of {}", taken - free, lot.lot.code));
    }
}

void Pencil::put(const StandingBrew& brew, const PlannedLine& line, const std::string& name, const Lot* lot, double kg,
                 Sums& sums) const {
    const Item& item = card(brew, name);
    const auto& recipe = request_.brews[brew.brew].recipe;
    if (line.line < static_cast<int>(recipe.grist.size())) {
        const MaltFigures f = lot != nullptr ? malt_figures(item, *lot, day(brew)) : malt_figures(item);
        const double known = lot != nullptr ? learned(brew, {lot->code, name}) : learned(brew, {name});
        sums.kg += kg;
        sums.extract += kg * f.extract_as_is.value * (1.0 + known);
        sums.power += kg * f.diastatic_power_wk.value;
        sums.lovibond_kg += kg * wort::malt_lovibond(Ebc(std::max(0.0, f.colour_ebc.value))).value();
        sums.of_item[name] += kg;
    } else if (line.line < static_cast<int>(recipe.grist.size() + recipe.hops.size())) {
        sums.bitterness += kg * alpha(brew, item, lot) * utilisation(brew, line);
    }
}

bool Pencil::may_stand_in(const StandingBrew& brew, const Item& asked, const Item& item, const Lot& lot,
                          const PlannedLine& line) const {
    if (asked.name == item.name) return true;
    if (asked.kind != item.kind) return false;
    for (const StandIn& s : item.stands_for)
        if (s.item == asked.name) return s.allowed != Allowed::never;
    if (asked.kind == ItemKind::hop)
        return utilisation(brew, line) > 0.0 ||
               (!aroma_group(asked).empty() && aroma_group(asked) == aroma_group(item));
    if (asked.kind == ItemKind::sugar) return true;
    const std::string a = asked.malt_class.value_or(""), b = item.malt_class.value_or("");
    if (a.empty() || b.empty() || a == "smoked" || a == "acid") return false;
    const bool next =
        (a == "base" && (b == "wheat" || b == "high-kilned")) || (b == "base" && (a == "wheat" || a == "high-kilned"));
    if (a != b && !next) return false;
    const MaltFigures x = malt_figures(asked), y = malt_figures(item, lot, day(brew));
    const Tolerances& t = request_.tolerances;
    const double colour = std::log((std::max(0.0, x.colour_ebc.value) + t.colour_shift_ebc) /
                                   (std::max(0.0, y.colour_ebc.value) + t.colour_shift_ebc));
    const double grain = a == "base" && b == "wheat" ? t.other_grain : t.other_class;
    const double d = (a != b ? grain : 0.0) + std::abs(colour) / std::log(t.colour_ratio) +
                     std::abs(x.extract_fine_dry_pct.value - y.extract_fine_dry_pct.value) / t.extract_points +
                     std::max(0.0, x.diastatic_power_wk.value - y.diastatic_power_wk.value) / t.power_wk;
    return d <= t.most_distance + exact; // the families come on top
}

// S1's days, S2 and S4, of what is taken anew.
void Pencil::take(const StandingBrew& brew, const AnswerLine& taken) {
    const LotState& s = *state(taken.lot);
    const std::string where = fmt::format("{} in line {} of {}", taken.lot, taken.line, taken.brew);
    breach(s.lot.held.has_value(), "S1: on hold: " + where);
    breach(s.lot.received > day(brew), "S1: not here yet: " + where);
    breach(!request_.allow_past_best && s.lot.best_before && *s.lot.best_before < day(brew),
           "S1: past its date: " + where);
    const PlannedLine& line = brew.has.lines[static_cast<std::size_t>(taken.line)];
    const Item& item = card(brew, s.lot.item);
    if (!fills()) return;
    const auto& house = request_.brews[brew.brew].brewhouse;
    const double step = item.kind == ItemKind::hop ? house.hop_step.value_or(Kilograms(0.001)).value()
                                                   : house.weigh_step.value_or(Kilograms(0.01)).value();
    const auto lot = std::ranges::find(standing_.lots, taken.lot, [](const LotState& l) { return l.lot.code; });
    const bool whole = std::abs(lot->free().kilograms().value() - taken.mass_kg) < exact;
    breach(!whole && !is_opened(brew) &&
               std::abs(taken.mass_kg / step - std::round(taken.mass_kg / step)) * step > exact,
           "S2: between two weigh steps: " + where);
    breach(!may_stand_in(brew, card(brew, line.item), item, s.lot, line), "S4: may not stand in: " + where);
}

// S12: what is said to be got still is not there to be taken, beside what the answer takes.
void Pencil::to_get(const StandingBrew& brew, const PlannedLine& line, const std::string& lacks, Amount missing) {
    if (missing.measure != Measure::mass) return;
    Sums lacking, there;
    double there_kg = 0.0;
    put(brew, line, lacks, nullptr, missing.kilograms().value(), lacking);
    for (const LotState& s : standing_.lots) {
        if (s.on_hand.measure != Measure::mass || s.free().units <= 0 || s.lot.held || s.lot.received > day(brew))
            continue;
        if (s.lot.best_before && *s.lot.best_before < day(brew) && !request_.allow_past_best) continue;
        const Item &asked = card(brew, lacks), &item = card(brew, s.lot.item);
        if (asked.kind != ItemKind::hop && item.name != asked.name) continue; // its family may be too far
        if (!may_stand_in(brew, asked, item, s.lot, line)) continue;
        double kg = s.free().kilograms().value();
        for (const AnswerLine& l : answer_.lines)
            if (l.changed && l.lot == s.lot.code) kg -= l.mass_kg;
        there_kg += kg;
        put(brew, line, s.lot.item, &s.lot, kg, there);
    }
    const bool is_enough = lacking.extract > 0.0      ? there.extract >= lacking.extract
                           : lacking.bitterness > 0.0 ? there.bitterness >= lacking.bitterness
                                                      : there_kg >= missing.kilograms().value();
    breach(is_enough, fmt::format("S12: line {} of {} could be filled", line.line, code(brew)));
}

// S3: what stands stays. S5, S9 and S10: what lacks is filled. S11: no more than a quarter more without a word.
void Pencil::line(const StandingBrew& brew, const PlannedLine& line, double brew_extract, double brew_bitterness) {
    Sums lacking, given;
    double given_kg = 0.0, lacking_kg = 0.0;
    for (const TakenLot& had : line.allotment.taken) {
        const bool stays = std::ranges::any_of(answer_.lines, [&](const AnswerLine& l) {
            return !l.changed && l.brew == code(brew) && l.line == line.line && l.lot == had.lot &&
                   std::abs(l.mass_kg - had.amount.kilograms().value()) < exact;
        });
        breach(!stays && !is_opened(brew),
               fmt::format("S3: line {} of {} does not keep {}", line.line, code(brew), had.lot));
    }
    for (const Gap& gap : brew.gaps)
        if (gap.line == line.line && gap.missing.units > 0) {
            const Amount rest = to_get_of(brew, gap);
            if (rest.units > 0) to_get(brew, line, gap.item, rest);
            if (rest.units >= gap.missing.units) continue;
            lacking_kg = (gap.missing - rest).kilograms().value();
            put(brew, line, gap.item, nullptr, lacking_kg, lacking);
        }
    for (const AnswerLine& l : answer_.lines)
        if (l.changed && l.brew == code(brew) && l.line == line.line) {
            given_kg += l.mass_kg;
            const LotState& s = *state(l.lot);
            put(brew, line, s.lot.item, &s.lot, l.mass_kg, given);
            const bool said = std::ranges::any_of(
                answer_.says, [&](const std::string& words) { return words.find(s.lot.item) != words.npos; });
            breach(lacking_kg > 0.0 && l.mass_kg > 1.25 * lacking_kg + 0.01 && !said,
                   fmt::format("S11: {} kg of {} for {} kg", l.mass_kg, l.lot, lacking_kg));
        }
    if (lacking_kg <= 0.0) {
        breach(given_kg > 0.0 && !is_opened(brew),
               fmt::format("S3: line {} of {} lacks nothing", line.line, code(brew)));
        return;
    }
    const auto& house = request_.brews[brew.brew].brewhouse;
    const double step = line.kind == ItemKind::hop ? house.hop_step.value_or(Kilograms(0.001)).value()
                                                   : house.weigh_step.value_or(Kilograms(0.01)).value();
    const Tolerances& t = request_.tolerances;
    const std::string where = fmt::format("line {} of {}", line.line, code(brew));
    const bool has_extract =
        std::abs(given.extract - lacking.extract) <= std::max(t.brew_extract * brew_extract, step) + exact;
    if (lacking.extract > 0.0 && !has_extract && gives_its_colour(brew, line, lacking, given))
        by_colour_.insert(code(brew));
    else if (lacking.extract > 0.0 && !is_opened(brew))
        breach(!has_extract, fmt::format("S5: {} gets {} kg extract, not {}", where, given.extract, lacking.extract));
    else if (lacking.extract <= 0.0 && lacking.bitterness > 0.0)
        breach(std::abs(given.bitterness - lacking.bitterness) >
                   std::max({t.bittering * brew_bitterness, step * lacking.bitterness / lacking_kg,
                             given_kg > 0.0 ? step * given.bitterness / given_kg : 0.0}) +
                       exact,
               fmt::format("S9: {} gets {:.3g} of its bitterness", where, given.bitterness / lacking.bitterness));
    else if (line.kind == ItemKind::hop)
        breach(std::abs(given_kg - lacking_kg) > step + exact,
               fmt::format("S10: {} gets {} kg, not {}", where, given_kg, lacking_kg));
}

// Lovibond of the darkest malt that is weighed anew, in one line or in all of the grist.
double Pencil::darkest_anew(const StandingBrew& brew, std::optional<int> line) const {
    const BrewToFill& asked = request_.brews[brew.brew];
    double darkest = 0.0;
    for (const AnswerLine& l : answer_.lines)
        if (l.changed && l.brew == code(brew) && l.line < static_cast<int>(asked.recipe.grist.size()) &&
            (!line || l.line == *line)) {
            const LotState& s = *state(l.lot);
            const double colour = malt_figures(card(brew, s.lot.item), s.lot, day(brew)).colour_ebc.value;
            darkest = std::max(darkest, wort::malt_lovibond(Ebc(std::max(0.0, colour))).value());
        }
    return darkest;
}

// S5 of a malt that is there for its colour.
bool Pencil::gives_its_colour(const StandingBrew& brew, const PlannedLine& line, const Sums& lacking,
                              const Sums& given) const {
    const std::string of_class = card(brew, line.item).malt_class.value_or("");
    if (of_class != "caramel" && of_class != "roasted") return false;
    const BrewToFill& asked = request_.brews[brew.brew];
    const double half_step = 0.5 * asked.brewhouse.weigh_step.value_or(Kilograms(0.01)).value();
    const double by_step = half_step * std::max(lacking.lovibond_kg / lacking.kg, darkest_anew(brew, line.line));
    return std::abs(given.lovibond_kg - lacking.lovibond_kg) <=
           std::max(request_.tolerances.colour_hole * lacking.lovibond_kg, by_step) + exact;
}

// S6 to S8. A weigh step may cross a limit by its own share.
void Pencil::whole(const StandingBrew& brew, const Sums& meant, const Sums& given) {
    const BrewToFill& asked = request_.brews[brew.brew];
    if (meant.kg <= exact || given.kg <= exact) return;
    const Tolerances& t = request_.tolerances;
    const double step = asked.brewhouse.weigh_step.value_or(Kilograms(0.01)).value();
    const double litres = asked.volume.value(), by_step = 2.0 * step / given.kg;
    const auto ebc_of = [&](double lovibond_kg) {
        return wort::morey_ebc(wort::malt_colour_units(lovibond_kg, 1.0, litres));
    };
    const double ebc = ebc_of(given.lovibond_kg);
    const double by_a_step = ebc_of(given.lovibond_kg + step * darkest_anew(brew, {})) - ebc;
    const double as_meant = ebc_of(meant.lovibond_kg);
    const double farther = answer_.off_colour.contains(code(brew)) ? 3.3 : 1.0; // three times, in units linear in mass
    breach(std::abs(ebc - as_meant) > farther * std::max(t.colour_ebc, t.colour * as_meant) + by_a_step + 1e-4,
           fmt::format("S6: {} has {} EBC, not {}", code(brew), ebc, as_meant));
    const auto changed = static_cast<double>(
        std::ranges::count_if(answer_.lines, [&](const AnswerLine& l) { return l.changed && l.brew == code(brew); }) +
        static_cast<std::ptrdiff_t>(brew.gaps.size()));
    const double by_colour = by_colour_.contains(code(brew)) ? t.extract_by_colour * meant.extract : 0.0;
    breach(std::abs(given.extract - meant.extract) >
               changed * std::max(t.brew_extract * meant.extract, step) + by_colour + exact,
           fmt::format("S5: {} has {} kg extract, not {}", code(brew), given.extract, meant.extract));
    const double floor = asked.recipe.diastatic_floor ? asked.recipe.diastatic_floor->value()
                                                      : std::min(t.diastatic_power_wk, meant.power / meant.kg);
    breach(given.power / given.kg < floor * (1.0 - by_step) - 1e-4,
           fmt::format("S7: {} has {} WK, less than {}", code(brew), given.power / given.kg, floor));
    for (const auto& [name, kg] : given.of_item) {
        const Item& item = card(brew, name);
        if (!item.max_share) continue;
        const double own = meant.of_item.contains(name) ? meant.of_item.at(name) / meant.kg : 0.0;
        const double most = std::max(item.max_share->value() / 100.0, own);
        breach(kg > (most + by_step) * given.kg, fmt::format("S8: {} has {} % of {}, more than {} %", code(brew),
                                                             100.0 * kg / given.kg, name, 100.0 * most));
    }
}

void Pencil::look_at(const StandingBrew& brew) {
    for (const AnswerLine& l : answer_.lines)
        if (l.changed && l.brew == code(brew)) take(brew, l);
    if (!fills()) return;
    Sums meant, given;
    for (const PlannedLine& l : brew.has.lines) {
        if (l.needed.measure != Measure::mass) continue;
        for (const TakenLot& had : l.allotment.taken) {
            const LotState& s = *state(had.lot);
            put(brew, l, s.lot.item, &s.lot, had.amount.kilograms().value(), meant);
        }
        if (!l.is_short()) continue;
        put(brew, l, l.item, nullptr, l.allotment.missing.kilograms().value(), meant);
        for (const Gap& gap : brew.gaps)
            if (gap.line == l.line) {
                if (gap.from_orders.units > 0)
                    put(brew, l, gap.item, nullptr, gap.from_orders.kilograms().value(), given);
                const Amount rest = to_get_of(brew, gap);
                if (rest.units > 0 && rest.measure == Measure::mass)
                    put(brew, l, gap.item, nullptr, rest.kilograms().value(), given);
            }
    }
    for (const AnswerLine& l : answer_.lines)
        if (l.brew == code(brew))
            put(brew, brew.has.lines[static_cast<std::size_t>(l.line)], state(l.lot)->lot.item, &state(l.lot)->lot,
                l.mass_kg, given);
    for (const PlannedLine& l : brew.has.lines)
        if (l.needed.measure == Measure::mass) line(brew, l, meant.extract, meant.bitterness);
    whole(brew, meant, given);
}

} // namespace

std::vector<std::string> breaches(const SubstituteRequest& request, const SubstituteAnswer& answer) {
    if (answer.kind == AnswerKind::buy) return {};
    return Pencil(request, answer).look();
}

} // namespace lotwort::plan
