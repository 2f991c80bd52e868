#include "pinned_lots.hpp"
#include "plan_lines.hpp"
#include "plan_parts.hpp"
#include "plan_remarks.hpp"
#include "plan_yeast.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/brew/late_extract.hpp>
#include <lotwort/brew/meant_figures.hpp>
#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/core/error.hpp>
#include <set>
#include <utility>

namespace lotwort {

namespace {

constexpr double heat_of_malt_l_per_kg = 0.41;
constexpr double gravity_close_enough = 1e-6;
constexpr int most_rounds = 12;
constexpr double most_grist_kg_per_l = 3.0; // beyond it nothing runs off, and the balance means nothing

// One plan in the making: lots are promised line after line, so that no line takes what another has.
class Draft {
public:
    explicit Draft(const PlanRequest& request)
        : request_(request), kit_(kit_of(request.brewhouse)), lines_(lines_of(request)), pins_(request.pins),
          gravity_(request.recipe.original_gravity.value_or(SpecificGravity(1.045))) {
        if (request.aim && request.learned) kit_ = as_learned(kit_, *request.learned);
    }

    PlannedBrew draw_up();
    PlannedBrew as_booked(const Plan& plan, const std::vector<Lacking>& lacking);

private:
    enum class Weighed { in_steps, as_reckoned };
    void allot(PlannedLine& line, Amount needed, Weighed how = Weighed::in_steps);
    void weigh_the_rest_in_steps(PlannedLine& line) const;
    [[nodiscard]] std::vector<MaltFigures> grist_figures() const;
    void set_grist(const Recipe& aimed, bool in_whole_steps);
    void set_all(const Recipe& aimed, const Boil& boil, bool in_whole_steps);
    void set_hops(const Boil& boil);
    void set_others();
    void set_crop(PlannedLine& line, const Item& yeast);
    enum class By { book, all_known };
    [[nodiscard]] Forecast forecast_now(By by = By::all_known) const;
    [[nodiscard]] std::size_t first_hop() const { return request_.recipe.grist.size(); }
    [[nodiscard]] std::size_t first_other() const { return first_hop() + request_.recipe.hops.size(); }
    [[nodiscard]] Kilograms grist_mass() const { return lotwort::grist_mass(request_.recipe, lines_); }
    [[nodiscard]] PlannedBrew finish(Forecast forecast) const;

    const PlanRequest& request_;
    Kit kit_;
    std::vector<PlannedLine> lines_;
    std::vector<LotState> lots_;
    std::vector<Pin> pins_;   // what is left of them, line after line
    SpecificGravity gravity_; // of the wort that the yeast is for: the recipe's, else as forecast
};

// A lot that is used up gives what it holds, 99.790321 kg of 220 lb. What is weighed out of the next one, or is
// lacking, is in whole steps again. So the line needs a fraction of a step more or less.
void Draft::weigh_the_rest_in_steps(PlannedLine& line) const {
    Allotment& given = line.allotment;
    if (line.needed.measure != Measure::mass || given.taken.size() + (given.missing.units > 0 ? 1U : 0U) < 2) return;
    const auto step = Amount::of(Kilograms(step_kg(line.kind, request_.brewhouse))).units;
    const auto whole = [&](std::int64_t units) { return (units + step / 2) / step * step; };
    if (given.missing.units > 0) {
        given.missing.units = whole(given.missing.units);
    } else {
        TakenLot& last = given.taken.back();
        const auto lot = std::ranges::find(lots_, last.lot, [](const LotState& s) { return s.lot.code; });
        const auto pin = std::ranges::find(pins_, last.lot, &Pin::lot);
        const bool is_said = pin != pins_.end() && pin->amount;
        const auto weighed = std::max(whole(last.amount.units), step);
        if (is_said || weighed > lot->free().units) return;
        last.amount.units = weighed;
    }
    line.needed.units = given.missing.units;
    for (const TakenLot& part : given.taken) line.needed.units += part.amount.units;
}

void Draft::allot(PlannedLine& line, Amount needed, Weighed how) {
    line.needed = needed;
    line.allotment = reserve(lots_, line.item, needed, request_.date, pins_);
    if (how == Weighed::in_steps) weigh_the_rest_in_steps(line);
    promise(lots_, line.allotment.taken);
    use_up(pins_, line.allotment.taken);
}

// Each malt as its lots give it; before any is taken, as the lot that would be taken first.
std::vector<MaltFigures> Draft::grist_figures() const {
    std::vector<MaltFigures> all;
    for (std::size_t i = 0; i < first_hop(); ++i) {
        PlannedLine line = lines_[i];
        if (line.needed.units == 0)
            line.allotment = reserve(request_.lots, line.item, Amount::of(Grams(1.0)), request_.date, request_.pins);
        double mass = 0.0;
        MaltFigures mix;
        for (const Part& part : parts_of(request_, line)) {
            const MaltFigures one = figures_of(request_, part);
            const double kg = part.amount.kilograms().value();
            mass += kg;
            if (mass <= 0.0 || mass == kg) mix = one;
            const double share = mass > 0.0 ? kg / mass : 1.0;
            mix.extract_as_is.value += share * (one.extract_as_is.value - mix.extract_as_is.value);
            mix.moisture_pct.value += share * (one.moisture_pct.value - mix.moisture_pct.value);
            mix.extract_fine_dry_pct.value += share * (one.extract_fine_dry_pct.value - mix.extract_fine_dry_pct.value);
            mix.colour_ebc.value += share * (one.colour_ebc.value - mix.colour_ebc.value);
        }
        all.push_back(mix);
    }
    return all;
}

void Draft::set_grist(const Recipe& aimed, bool in_whole_steps) {
    const std::vector<MaltFigures> figures = grist_figures();
    const auto masses = grist_masses(aimed, request_.volume, kit_, figures);
    for (std::size_t i = 0; i < masses.size(); ++i) {
        const Kilograms mass =
            masses[i] * mass_ratio(request_.recipe.grist[i], item_named(request_, lines_[i].item), figures[i]);
        if (in_whole_steps)
            allot(lines_[i], in_steps(mass, lines_[i].kind, request_.brewhouse));
        else
            allot(lines_[i], Amount::of(mass), Weighed::as_reckoned);
    }
}

void Draft::set_all(const Recipe& aimed, const Boil& boil, bool in_whole_steps) {
    lots_ = request_.lots;
    pins_ = request_.pins;
    set_grist(aimed, in_whole_steps);
    set_hops(boil);
    set_others();
}

void Draft::set_hops(const Boil& boil) {
    for (std::size_t i = 0; i < request_.recipe.hops.size(); ++i) {
        PlannedLine& line = lines_[first_hop() + i];
        const auto lots_before = lots_;
        const auto pins_before = pins_;
        // bitterness asked for sets the mass by the alpha of the lots that the mass then takes
        for (int round = 0; round < 3; ++round) {
            PlannedLine trial = line;
            if (round == 0)
                trial.allotment = reserve(lots_before, line.item, Amount::of(Grams(1.0)), request_.date, pins_before);
            double mass = 0.0, alpha_mass = 0.0;
            Figure alpha;
            for (const Part& part : parts_of(request_, trial)) {
                alpha = alpha_of(request_, part);
                mass += part.amount.grams().value();
                alpha_mass += part.amount.grams().value() * alpha.value;
            }
            if (mass > 0.0) alpha.value = alpha_mass / mass;
            const Grams grams = hop_mass(request_.recipe, request_.recipe.hops[i], request_.volume, alpha, boil,
                                         Celsius(kit_.boiling_c));
            lots_ = lots_before;
            pins_ = pins_before;
            allot(line, in_steps(to_kilograms(grams), line.kind, request_.brewhouse));
            if (request_.recipe.hops[i].mass && !request_.recipe.hops[i].alpha) break;
        }
    }
}

void Draft::set_others() {
    const double scale = request_.volume / request_.recipe.volume;
    for (std::size_t i = 0; i < request_.recipe.others.size(); ++i) {
        const OtherLine& other = request_.recipe.others[i];
        PlannedLine& line = lines_[first_other() + i];
        if (request_.crop_lots && line.kind == ItemKind::yeast)
            set_crop(line, item_named(request_, line.item));
        else if (other.mass)
            allot(line, in_steps(*other.mass * scale, line.kind, request_.brewhouse));
        else if (other.volume)
            allot(line, whole_millilitres(*other.volume * scale));
        else if (const Item& item = item_named(request_, line.item); is_counted(other, item))
            allot(line, yeast_needed(item, cells_for(request_, item, gravity_), lots_, request_.date, pins_));
        else if (other.count)
            allot(line, Amount::pieces(std::llround(std::ceil(*other.count * scale - 1e-9))));
        else
            throw Error(ErrorKind::refused,
                        fmt::format("recipe `{}` does not say how much {} goes in, and it is no yeast",
                                    request_.recipe.name, line.item),
                        "give it an amount");
    }
}

void Draft::set_crop(PlannedLine& line, const Item& yeast) {
    line.needed.units = line.allotment.missing.units = 0;
    line.allotment.taken.clear();
    if (request_.crop_lots->empty()) return;
    const std::vector<Pin> others = pins_;
    for (const std::string& lot : *request_.crop_lots) pins_.insert(pins_.begin(), {lot, std::nullopt});
    allot(line, yeast_needed(yeast, cells_for(request_, yeast, gravity_), lots_, request_.date, pins_));
    pins_ = others;
}

bool goes_into_the_kettle(Stage stage) {
    return stage == Stage::kettle || stage == Stage::boil || stage == Stage::stand;
}

Forecast Draft::forecast_now(By by) const {
    std::vector<PlannedMalt> malts;
    std::vector<PlannedHop> hops;
    Kilograms sugars(0.0);
    wort::LateExtract late;
    for (const PlannedLine& line : lines_) {
        for (const Part& part : parts_of(request_, line)) {
            if (part.amount.measure != Measure::mass) continue;
            const bool is_grist = line.line < static_cast<int>(first_hop());
            const bool is_hop = !is_grist && line.line < static_cast<int>(first_other());
            if (is_grist)
                malts.push_back({part.name(), part.amount.kilograms(), figures_of(request_, part)});
            else if (is_hop)
                hops.push_back({part.name(), line.stage, line.minutes.value_or(Minutes(0.0)), part.amount.grams(),
                                alpha_of(request_, part), line.temperature});
            else if (line.kind == ItemKind::sugar && goes_into_the_kettle(line.stage))
                sugars = sugars + part.amount.kilograms() * figures_of(request_, part).extract_as_is.value;
            else if ((line.stage == Stage::fermenter || line.stage == Stage::dry) && counts_late(*part.item, part.lot))
                add_late(late, *part.item, part.amount.kilograms().value(),
                         figures_of(request_, part).extract_as_is.value);
        }
    }
    return forecast(request_.recipe, request_.volume, kit_, malts, hops, sugars,
                    by == By::all_known && request_.learned ? &*request_.learned : nullptr, late);
}

PlannedBrew Draft::finish(Forecast forecast) const {
    PlannedBrew out;
    out.plan.code = request_.code;
    out.plan.date = request_.date;
    out.plan.recipe = request_.recipe.name;
    out.plan.brewhouse = request_.brewhouse.name;
    out.plan.volume = request_.volume;
    std::set<std::pair<std::string, std::string>> said; // lot, and what it is in place of
    for (const PlannedLine& line : lines_)
        for (const TakenLot& taken : line.allotment.taken) {
            Reservation& made = out.plan.reserved.emplace_back(Reservation{line.line, taken.lot, taken.amount});
            if (std::ranges::find(request_.pins, taken.lot, &Pin::lot) != request_.pins.end())
                made.pinned = Pinned::yes;
            const std::string& item = lot_coded(request_, taken.lot).item;
            if (item == line.item) continue;
            made.instead_of = line.item;
            out.stand_ins.emplace(taken.lot, item);
            if (said.emplace(taken.lot, line.item).second)
                out.remarks.push_back(fmt::format("{} is {}, in place of {}", taken.lot, item, line.item));
        }
    out.lines = lines_;
    out.forecast = std::move(forecast);
    if (const auto& target = request_.recipe.original_gravity; target && out.forecast.original_gravity_sg.sd > 0.0) {
        const auto& og = out.forecast.original_gravity_sg;
        const auto below = [&](double x) { return 0.5 * std::erfc((og.value - x) / (og.sd * std::sqrt(2.0))); };
        out.within_sg = request_.within_sg;
        out.target = target;
        out.on_target = below(target->value() + out.within_sg) - below(target->value() - out.within_sg);
    }
    out.boil = request_.recipe.boil;
    out.mash_rest = request_.recipe.mash_rest;
    if (out.mash_rest && grist_mass().value() > 0.0)
        out.strike_temperature =
            strike_temperature(*out.mash_rest, usual_grain(request_.date),
                               LitresPerKilogram(out.forecast.strike_liquor_l / grist_mass().value()));
    add_remarks(request_, kit_, out);
    return out;
}

// What a grist by mass is multiplied by to meet a rise of gravity: the secant, for gravity rises with the grist, less
// than in proportion.
class GristFactor {
public:
    [[nodiscard]] double value() const { return now_; }
    [[nodiscard]] bool is_found() const { return found_; }

    // rise: what the grist as it is multiplied now comes to.
    void mend(double rise, double aim) {
        found_ = std::abs(rise - aim) <= 1e-5 * aim;
        const double slope = (rise - rise_before_) / (now_ - before_); // at first from a grist of nothing
        const double next = slope > 0.0 ? now_ + (aim - rise) / slope : most_step * now_;
        before_ = std::exchange(now_, std::clamp(next, now_ / most_step, now_ * most_step));
        rise_before_ = rise;
    }

private:
    static constexpr double most_step = 3.0;
    double now_ = 1.0, before_ = 0.0, rise_before_ = 0.0;
    bool found_ = false;
};

PlannedBrew Draft::draw_up() {
    demand_pins(request_, lines_);
    const auto& target = request_.recipe.original_gravity;
    const bool by_mass =
        std::ranges::all_of(request_.recipe.grist, [](const GristLine& l) { return l.mass.has_value(); });
    Recipe aimed = request_.recipe;
    Boil boil{gravity_, request_.volume + Litres(kit_.kettle_loss_l)};
    GristFactor factor;
    for (int round = 0; round < most_rounds; ++round) {
        set_all(aimed, boil, false);
        const Forecast forecast = forecast_now(request_.aim ? By::all_known : By::book);
        boil = {forecast.boil_gravity, Litres(forecast.cast_out_l)};
        if (!target) gravity_ = SpecificGravity(forecast.original_gravity_sg.value);
        if (by_mass && request_.aim && target) {
            factor.mend(forecast.original_gravity_sg.value - 1.0, target->value() - 1.0);
            for (std::size_t i = 0; i < aimed.grist.size(); ++i)
                aimed.grist[i].mass = *request_.recipe.grist[i].mass * factor.value();
            if (grist_mass().value() > most_grist_kg_per_l * request_.volume.value())
                refuse_unreached(*target, request_.volume);
            if (factor.is_found()) break;
            if (round + 1 == most_rounds) refuse_unreached(*target, request_.volume);
            continue;
        }
        if (by_mass) break;
        // grist_masses knows no sugars and no hops: aim beside the target by what they add or take
        const GravityDifference miss = *target - SpecificGravity(forecast.original_gravity_sg.value);
        if (std::abs(miss.value()) < gravity_close_enough) break;
        aimed.original_gravity = *aimed.original_gravity + miss;
    }
    set_all(aimed, boil, true);
    demand_pins_taken(request_, lines_);
    for (PlannedLine& line : lines_)
        if (request_.near_enough && line.is_short() && !line.allotment.taken.empty() &&
            is_near_enough(line, line.allotment.missing)) {
            line.needed = line.needed - line.allotment.missing;
            line.allotment.missing.units = 0;
        }
    return finish(forecast_now());
}

PlannedBrew Draft::as_booked(const Plan& plan, const std::vector<Lacking>& lacking) {
    for (const Reservation& reservation : plan.reserved) {
        if (reservation.line >= static_cast<int>(lines_.size()))
            throw Error(ErrorKind::refused,
                        fmt::format("plan {} reserves lot {} for line {}, and recipe `{}` has {} lines", plan.code,
                                    reservation.lot, reservation.line, plan.recipe, lines_.size()),
                        "the recipe was changed since: reverse the plan's entry and plan the brew again");
        PlannedLine& line = lines_[static_cast<std::size_t>(reservation.line)];
        line.allotment.taken.push_back({reservation.lot, reservation.amount});
        line.needed.measure = line.allotment.missing.measure = reservation.amount.measure;
        line.needed = line.needed + reservation.amount;
    }
    for (const Lacking& lack : lacking) {
        PlannedLine& line = lines_.at(static_cast<std::size_t>(lack.line));
        line.allotment.missing = {lack.missing.measure, line.allotment.missing.units + lack.missing.units};
        line.needed = {lack.missing.measure, line.needed.units + lack.missing.units};
    }
    // a plan that reserves no malt has nothing to forecast from; what lacks is for the caller to say
    PlannedBrew out = finish(grist_mass().value() > 0.0 ? forecast_now() : Forecast{});
    out.plan.adopted = plan.adopted;
    out.plan.awaited = plan.awaited;
    keep_places(out.plan, plan);
    for (Reservation& made : out.plan.reserved)
        for (const Reservation& booked : plan.reserved)
            if (booked.line == made.line && booked.lot == made.lot) made.pinned = booked.pinned;
    for (const PlannedLine& line : lines_)
        if (line.allotment.taken.empty() && !line.is_short() && !(request_.crop_lots && line.kind == ItemKind::yeast))
            out.remarks.push_back(fmt::format("nothing is reserved for {}", line.item));
    return out;
}

} // namespace

void keep_places(Plan& made, const Plan& of) {
    made.tank = of.tank;
    made.tank_till = of.tank_till;
    if (made.tank_till) *made.tank_till += made.date - of.date;
    made.yeast_of_plan = of.yeast_of_plan;
    made.yeast_of_brew = of.yeast_of_brew;
}

bool PlannedBrew::is_short() const {
    return std::ranges::any_of(lines, &PlannedLine::is_short);
}

PlannedBrew draw_up_plan(const PlanRequest& request) {
    return Draft(request).draw_up();
}

PlannedBrew as_booked(const PlanRequest& request, const Plan& plan, const std::vector<Lacking>& lacking) {
    return Draft(request).as_booked(plan, lacking);
}

Celsius usual_grain(Date day) {
    const unsigned month = static_cast<unsigned>(std::chrono::year_month_day(day).month());
    if (month == 12 || month <= 2) return Celsius(12.0);
    return Celsius(month >= 6 && month <= 8 ? 20.0 : 16.0);
}

Celsius strike_temperature(Celsius rest, Celsius grain, LitresPerKilogram ratio) {
    return rest + (heat_of_malt_l_per_kg / ratio.value()) * (rest - grain);
}

} // namespace lotwort
