#include "case.hpp"
#include "cards.hpp"
#include "sentence.hpp"
#include "takes.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/meant_figures.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/hop_age.hpp>
#include <lotwort/stock/kinds.hpp>
#include <lotwort/wort/bitterness.hpp>
#include <lotwort/wort/colour.hpp>

namespace lotwort::plan {

namespace {

constexpr double undated_days = 3650.0; // a lot without a best-before counts ten years
constexpr double least_part = 0.5;      // of a hole: less of it is no stand-in to a brewer
constexpr double least_told = 0.01;     // of a hole: less is not told as a part

// What of a brew's lines counts together with a hole: extract, bitterness or the mass of late hops.
struct Sums {
    double extract = 0.0, bitterness = 0.0, late_kg = 0.0;
};

// Of a line that lacks nothing.
double most_moved(const Character& c) {
    return c.of_class == "caramel" ? 0.2 : c.of_class == "roasted" ? 0.5 : 0.1;
}

class Maker {
public:
    Maker(const SubstituteRequest& request, const Standing& standing, const Leeway& leeway)
        : request_(request), standing_(standing), leeway_(leeway) {}

    SubstitutionCase make() {
        make_lots();
        for (std::size_t b = 0; b < standing_.brews.size(); ++b)
            if (standing_.brews[b].lacks()) make_brew(b);
        return std::move(out_);
    }

private:
    void make_lots();
    void make_brew(std::size_t standing);
    void count_line(const PlannedLine& line, Sums& sums, GristSums& nominal);
    [[nodiscard]] std::optional<Stubborn> make_hole(const Gap& gap, const Sums& sums);
    [[nodiscard]] std::optional<Amount> take_in_part(Hole& hole, Amount missing) const;
    void go_by_colour(Hole& hole, const Item& item) const;
    void open(const PlannedLine& line);
    [[nodiscard]] std::string find_candidates(Hole& hole, const PlannedLine& line);
    void keep(const Item& item, const Character& c, double kg);
    void settle_stubborn(std::vector<Stubborn> stubborn);
    // What a kilogram of it gives of what lacks.
    double add_candidate(Hole& hole, std::size_t lot, const Item& item, double distance);
    [[nodiscard]] double utilisation_of(const PlannedLine& line) const;
    [[nodiscard]] const StandingBrew& standing() const { return standing_.brews[out_.brews.back().standing]; }
    [[nodiscard]] CaseBrew& brew() { return out_.brews.back(); }
    [[nodiscard]] const BrewToFill& asked() const { return *out_.brews.back().brew; }
    [[nodiscard]] bool is_grist(int line) const { return line < static_cast<int>(asked().recipe.grist.size()); }
    [[nodiscard]] bool is_hop_line(int line) const {
        const auto& recipe = asked().recipe;
        return !is_grist(line) && line < static_cast<int>(recipe.grist.size() + recipe.hops.size());
    }
    [[nodiscard]] const Item& known(const std::string& name) const {
        const Item* item = item_called(standing().items, name);
        LOTWORT_CHECK(item != nullptr);
        return *item;
    }

    const SubstituteRequest& request_;
    const Standing& standing_;
    const Leeway& leeway_;
    SubstitutionCase out_;
};

void Maker::make_lots() {
    for (const LotState& state : standing_.lots) {
        CaseLot made{&state};
        if (state.on_hand.measure == Measure::mass) made.free_kg = std::max(0.0, state.free().kilograms().value());
        made.has_price = state.lot.price && state.lot.received_amount.measure == Measure::mass &&
                         state.lot.received_amount.units > 0;
        if (made.has_price)
            made.cost_per_kg = in_units(*state.lot.price) / state.lot.received_amount.kilograms().value();
        out_.lots.push_back(made);
    }
}

double Maker::utilisation_of(const PlannedLine& line) const {
    if (!is_hop_line(line.line) || !is_bittering(line.stage, line.minutes)) return 0.0;
    const auto worth =
        hop_minutes(line.stage, *line.minutes, line.temperature, Celsius(kit_of(asked().brewhouse).boiling_c));
    return wort::tinseth_utilisation(standing().nominal.boil_gravity.value(), worth.minutes.value());
}

// What the line gives as planned, lot by lot, and what lacks as what is known of its item.
void Maker::count_line(const PlannedLine& line, Sums& sums, GristSums& nominal) {
    if (line.needed.measure != Measure::mass) return;
    const double utilisation = utilisation_of(line);
    const auto count = [&](const Item& item, const Lot* lot, double kg, bool stays) {
        const Character c = lot != nullptr ? character_of(item, *lot, asked().date) : character_of(item);
        if (is_grist(line.line)) {
            const double e = lot != nullptr ? malt_figures(item, *lot, asked().date).extract_as_is.value
                                            : malt_figures(item).extract_as_is.value;
            sums.extract += kg * e * learned_share(asked().learned, lot != nullptr ? lot->code : "", item.name);
            nominal.add(kg, c.colour_ebc, c.power_wk);
            brew().own_share[item.name] += kg;
            if (stays) keep(item, c, kg);
        } else if (is_hop_line(line.line)) {
            sums.bitterness += kg * c.alpha_pct / 100.0 * utilisation;
            if (utilisation <= 0.0) sums.late_kg += kg;
        }
    };
    for (const TakenLot& taken : line.allotment.taken)
        for (const LotState& state : standing_.lots)
            if (state.lot.code == taken.lot)
                count(known(state.lot.item), &state.lot, taken.amount.kilograms().value(), true);
    if (line.is_short()) {
        double kg = line.allotment.missing.kilograms().value();
        for (const Gap& gap : standing().gaps) // what an order brings stays, and is like any lot of its item
            if (gap.line == line.line && gap.from_orders.units > 0) {
                count(known(gap.item), nullptr, gap.from_orders.kilograms().value(), true);
                kg -= gap.from_orders.kilograms().value();
            }
        count(known(line.item), nullptr, kg, false);
    }
}

void Maker::keep(const Item& item, const Character& c, double kg) {
    brew().mass_kg += kg;
    brew().colour += kg * lovibond_of(c.colour_ebc);
    brew().power += kg * c.power_wk;
    brew().kept_kg[item.name] += kg;
}

double Maker::add_candidate(Hole& hole, std::size_t at, const Item& item, double distance) {
    const Lot& lot = out_.lots[at].state->lot;
    Candidate c;
    c.lot = at;
    c.character = character_of(item, lot, asked().date);
    c.distance = distance;
    c.days_to_best = lot.best_before ? static_cast<double>((*lot.best_before - asked().date).count()) : undated_days;
    if (hole.kind == HoleKind::extract || hole.kind == HoleKind::colour) {
        const MaltFigures figures = malt_figures(item, lot, asked().date);
        c.extract = figures.extract_as_is.value * learned_share(asked().learned, lot.code, lot.item);
        c.lovibond = lovibond_of(c.character.colour_ebc);
        c.counts = hole.kind == HoleKind::colour ? c.lovibond : c.extract;
        c.power_wk = c.character.power_wk;
        const bool has_enzymes = c.character.of_class == "base" || c.character.of_class == "wheat";
        if (hole.is_grist && has_enzymes && asked().recipe.diastatic_floor &&
            figures.diastatic_power_wk.origin == Origin::typical)
            out_.says_of.emplace(
                lot.code, fmt::format("the enzymes of {} are typical of its class: nobody states them", lot.code));
    } else if (hole.kind == HoleKind::bitterness) {
        c.counts = c.character.alpha_pct / 100.0 * hole.utilisation;
        if (!hop_age(item, lot, asked().date).analysed)
            out_.says_of.emplace(lot.code,
                                 fmt::format("the alpha of {} is not aged: no day of analysis is stated", lot.code));
    } else {
        c.counts = 1.0;
    }
    const double counts = c.counts;
    if (hole.kind == HoleKind::colour) // of a darker malt a step is more
        hole.tolerance = std::max(hole.tolerance, 0.5 * hole.weighing.step_kg * counts);
    if (counts > 0.0) hole.candidates.push_back(std::move(c));
    return std::max(0.0, counts);
}

// Who may stand in; where they do not fill the hole, the nearest thing there is to a reason.
std::string Maker::find_candidates(Hole& hole, const PlannedLine& line) {
    const Item& item = known(line.item);
    const Character asked_for = character_of(item);
    double there = 0.0, colour = 0.0;
    std::vector<std::string> past; // would do, but for their date
    for (std::size_t at = 0; at < out_.lots.size(); ++at) {
        const LotState& state = *out_.lots[at].state;
        const Item* other = item_called(standing().items, state.lot.item);
        if (other == nullptr || out_.lots[at].free_kg <= 0.0) continue;
        if (!may_be_used(state, asked().date, true)) continue;
        const auto d =
            distance(asked_for, character_of(*other, state.lot, asked().date), hole.kind, request_.tolerances);
        if (!d) continue;
        if (!may_be_used(state, asked().date, request_.allow_past_best)) {
            past.push_back(state.lot.code);
            continue;
        }
        there += out_.lots[at].free_kg * add_candidate(hole, at, *other, *d);
        if (is_for_colour(asked_for) && !hole.candidates.empty())
            colour += out_.lots[at].free_kg * hole.candidates.back().lovibond;
    }
    const std::string missing = to_text(Amount::of(Kilograms(hole.mass_kg)));
    if (hole.candidates.empty() && item.kind == ItemKind::hop && hole.kind == HoleKind::mass &&
        aroma_group(item).empty())
        return fmt::format("no hop stands in for {} late or dry while its aroma group is not stated", item.name);
    const double by_colour = colour / (hole.mass_kg * lovibond_of(asked_for.colour_ebc));
    const double filled = std::max(there / hole.target, by_colour < 1.0 ? by_colour : 0.0); // else another rule bars it
    const std::string but = past.empty() ? ""
                                         : fmt::format(", but {} past {} date (--allow-past-best)", listed(past),
                                                       past.size() == 1 ? "its" : "their");
    if (filled < least_told) return fmt::format("nothing in store may stand in for {}{}", item.name, but);
    if (there < hole.target - hole.tolerance)
        return fmt::format("what may stand in for {} fills {:.0f} % of the missing {}{}", item.name, 100.0 * filled,
                           missing, but);
    return {};
}

void Maker::go_by_colour(Hole& hole, const Item& item) const {
    const double lovibond = lovibond_of(character_of(item).colour_ebc);
    hole.kind = HoleKind::colour;
    hole.target = hole.mass_kg * lovibond;
    hole.tolerance = std::max(request_.tolerances.colour_hole * hole.target, 0.5 * hole.weighing.step_kg * lovibond);
}

// The hole made as small as what there is, and what is left to be got; none where that is no part to speak of.
std::optional<Amount> Maker::take_in_part(Hole& hole, Amount missing) const {
    if (!leeway_.in_part.contains(asked().code) || is_for_colour(character_of(known(hole.item)))) return std::nullopt;
    double there = 0.0;
    for (const Candidate& k : hole.candidates) there += out_.lots[k.lot].free_kg * k.counts;
    const double step = hole.weighing.step_kg;
    const double kg = std::floor(hole.mass_kg * there / hole.target / step + 1e-9) * step, part = kg / hole.mass_kg;
    if (part < least_part || part >= 1.0) return std::nullopt;
    hole.mass_kg = kg;
    for (double* of : {&hole.target, &hole.extract, &hole.share}) *of *= part;
    return missing - Amount::of(Kilograms(kg));
}

// Makes the hole; what nothing fills of it, and why.
std::optional<Stubborn> Maker::make_hole(const Gap& gap, const Sums& sums) {
    const auto stubborn = [&](Amount missing, std::string why) {
        return Stubborn{out_.brews.size() - 1, gap.line, gap.item, missing, std::move(why)};
    };
    const PlannedLine& line = standing().has.lines[static_cast<std::size_t>(gap.line)];
    const Item& item = known(gap.item);
    const bool sugar = item.kind == ItemKind::sugar, weighed = gap.missing.measure == Measure::mass;
    if (!weighed || !(is_grist(gap.line) || is_hop_line(gap.line) || sugar))
        return stubborn(gap.missing,
                        fmt::format("nothing stands in for {}: only malts, sugars and hops are made up", gap.item));
    Hole hole;
    hole.brew = out_.brews.size() - 1;
    hole.line = gap.line;
    hole.item = gap.item;
    hole.is_grist = is_grist(gap.line);
    hole.mass_kg = gap.missing.kilograms().value();
    hole.weighing = weighing_of(item.kind, asked().brewhouse);
    const Tolerances& t = request_.tolerances;
    const double step = hole.weighing.step_kg, utilisation = utilisation_of(line);
    if (is_hop_line(gap.line) && utilisation > 0.0) {
        hole.kind = HoleKind::bitterness;
        hole.utilisation = utilisation;
        hole.target = hole.mass_kg * character_of(item).alpha_pct / 100.0 * utilisation;
        hole.tolerance = std::max(t.bittering * sums.bitterness, step * hole.target / hole.mass_kg);
        hole.share = hole.target / std::max(sums.bitterness, 1e-12);
    } else if (is_hop_line(gap.line)) {
        hole.kind = HoleKind::mass;
        hole.target = hole.mass_kg;
        hole.tolerance = step;
        hole.share = hole.target / std::max(sums.late_kg, 1e-12);
    } else {
        const double e = malt_figures(item).extract_as_is.value * learned_share(asked().learned, "", item.name);
        hole.target = hole.extract = hole.mass_kg * e;
        hole.tolerance = std::max(t.brew_extract * sums.extract, step * e);
        hole.share = hole.target / std::max(sums.extract, 1e-12);
    }
    if (hole.target <= 0.0) return std::nullopt;
    const bool matters = hole.kind == HoleKind::extract ? hole.target > t.brew_extract * sums.extract
                                                        : hole.target > t.bittering * sums.bitterness;
    if (leeway_.by_colour.contains(asked().code) && is_for_colour(character_of(item))) go_by_colour(hole, item);
    std::string why;
    if (matters || hole.kind == HoleKind::mass) why = find_candidates(hole, line);
    std::optional<Amount> rest;
    if (!why.empty() && !(rest = take_in_part(hole, gap.missing))) return stubborn(gap.missing, std::move(why));
    out_.holes.push_back(std::move(hole));
    return rest ? std::optional(stubborn(*rest, std::move(why))) : std::nullopt;
}

// A brew of which something can be made up is answered; what cannot stays to be got.
void Maker::settle_stubborn(std::vector<Stubborn> stubborn) {
    const std::size_t b = out_.brews.size() - 1;
    const bool any_filled =
        std::ranges::any_of(out_.holes, [&](const Hole& hole) { return hole.brew == b && !hole.candidates.empty(); });
    if (!any_filled && !stubborn.empty()) {
        std::erase_if(out_.holes, [&](const Hole& hole) { return hole.brew == b; });
        for (Stubborn& one : stubborn) out_.wanting[asked().code].push_back(std::move(one.why));
        return;
    }
    for (Stubborn& one : stubborn) {
        if (is_grist(one.line) && one.missing.measure == Measure::mass)
            keep(known(one.item), character_of(known(one.item)), one.missing.kilograms().value());
        out_.to_get.push_back(std::move(one));
    }
}

// A caramel malt may move by a fifth, a roasted one by half, any other by a tenth: less of the lots that the line has,
// more of them or of others of its item.
void Maker::open(const PlannedLine& line) {
    const auto kept = [&](const LotState& state) {
        for (const TakenLot& taken : line.allotment.taken)
            if (taken.lot == state.lot.code) return taken.amount.kilograms().value();
        return 0.0;
    };
    double more = 0.0; // that the line may still have
    for (const LotState& state : standing_.lots) more += kept(state);
    more *= most_moved(character_of(known(line.item)));
    for (const bool of_others : {false, true})
        for (std::size_t at = 0; at < out_.lots.size(); ++at) {
            const LotState& state = *out_.lots[at].state;
            const double kg = kept(state);
            if ((kg <= 0.0) != of_others) continue;
            if (of_others &&
                (state.lot.item != line.item || !may_be_used(state, asked().date, request_.allow_past_best)))
                continue;
            const Item& item = known(state.lot.item);
            const Character c = character_of(item, state.lot, asked().date);
            const double up = std::min(more, out_.lots[at].free_kg), down = most_moved(c) * kg;
            if (up <= 0.0 && down <= 0.0) continue;
            more -= up;
            brew().adjustable.push_back({line.line, at, item.name, down, up,
                                         weighing_of(item.kind, asked().brewhouse).step_kg,
                                         malt_figures(item, state.lot, asked().date).extract_as_is.value *
                                             learned_share(asked().learned, state.lot.code, item.name),
                                         lovibond_of(c.colour_ebc), c.power_wk});
        }
}

void Maker::make_brew(std::size_t at) {
    CaseBrew& made = out_.brews.emplace_back();
    made.standing = at;
    made.brew = &request_.brews[standing_.brews[at].brew];
    made.in_part = leeway_.in_part.contains(made.brew->code);
    Sums sums;
    GristSums nominal;
    for (const PlannedLine& line : standing().has.lines) count_line(line, sums, nominal);
    for (auto& [name, kg] : made.own_share) kg = nominal.mass_kg > 0.0 ? kg / nominal.mass_kg : 0.0;
    made.limits = limits_of(*made.brew, nominal, request_.tolerances);
    made.extract_by_colour = request_.tolerances.extract_by_colour * sums.extract;
    made.extract_tolerance = std::max(request_.tolerances.brew_extract * sums.extract,
                                      weighing_of(ItemKind::malt, made.brew->brewhouse).step_kg);
    std::vector<Stubborn> stubborn;
    for (const Gap& gap : standing().gaps)
        if (gap.missing.units > 0)
            if (auto one = make_hole(gap, sums)) stubborn.push_back(std::move(*one));
    settle_stubborn(std::move(stubborn));
    if (!leeway_.opened.contains(made.brew->code)) return;
    for (const PlannedLine& line : standing().has.lines)
        if (is_grist(line.line) && !line.is_short() && line.kind == ItemKind::malt) open(line);
}

} // namespace

void GristSums::add(double kg, double ebc, double power_wk) {
    mass_kg += kg;
    colour += kg * lovibond_of(ebc);
    power += kg * power_wk;
}

BrewLimits limits_of(const BrewToFill& brew, const GristSums& nominal, const Tolerances& t) {
    BrewLimits limits;
    const double per_unit = wort::malt_colour_units(1.0, 1.0, brew.volume.value());
    const double ebc = wort::morey_ebc(nominal.colour * per_unit), off = std::max(t.colour_ebc, t.colour * ebc);
    limits.colour_low = wort::morey_colour_units(std::max(0.0, ebc - off)) / per_unit;
    limits.colour_high = wort::morey_colour_units(ebc + off) / per_unit;
    limits.power_floor_wk = brew.recipe.diastatic_floor ? brew.recipe.diastatic_floor->value()
                            : nominal.mass_kg > 0.0 ? std::min(t.diastatic_power_wk, nominal.power / nominal.mass_kg)
                                                    : 0.0;
    return limits;
}

bool may_be_used(const LotState& state, Date day, bool allow_past_best) {
    const Lot& lot = state.lot;
    if (lot.held || lot.received > day || state.on_hand.measure != Measure::mass) return false;
    return allow_past_best || !lot.best_before || *lot.best_before >= day;
}

bool lacks_colour(const StandingBrew& brew) {
    return std::ranges::any_of(brew.gaps, [&](const Gap& gap) {
        const Item* item = item_called(brew.items, gap.item);
        return gap.missing.units > 0 && item != nullptr && item->kind == ItemKind::malt &&
               is_for_colour(character_of(*item));
    });
}

SubstitutionCase substitution_case(const SubstituteRequest& request, const Standing& standing, const Leeway& leeway) {
    SubstitutionCase c = Maker(request, standing, leeway).make();
    set_price_of_takes(c, request.tolerances);
    return c;
}

} // namespace lotwort::plan
