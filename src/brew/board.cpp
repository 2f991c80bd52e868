#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/brew/board.hpp>
#include <lotwort/core/format.hpp>

namespace lotwort {

namespace {

using std::chrono::days;

constexpr days looked_ahead{731};
constexpr int most_generations = 100; // as many as a lot can state

std::string litres(Litres volume) {
    return fmt::format("{} L", shortest(std::round(volume.value() * 10.0) / 10.0));
}

bool overlap(const TankUse& a, const TankUse& b) {
    return (!b.till || a.from < *b.till) && (!a.till || b.from < *a.till);
}

std::string use_text(const std::string& tank, const TankUse& use) {
    if (use.is_overdue) return fmt::format("{} is in use by {} still", tank, use.by);
    const std::string till = use.till ? "till " + to_iso(*use.till) : "for good";
    if (!use.is_planned) return fmt::format("{} is in use by {} {}", tank, use.by, till);
    return fmt::format("{} is for {} from {} {}", tank, use.by, to_iso(use.from), till);
}

template <class Record>
const Record* find(const std::vector<Record>& records, const std::string& name, std::string Record::*by) {
    const auto found = std::ranges::find(records, name, by);
    return found != records.end() ? &*found : nullptr;
}
template <class Record>
const Record* find(const std::vector<Record>&&, const std::string&, std::string Record::*) = delete;

} // namespace

bool is_one_beer(const TankUse& a, const TankUse& b) {
    const auto apart = a.from < b.from ? b.from - a.from : a.from - b.from;
    return a.recipe && a.recipe == b.recipe && apart <= days(days_to_fill);
}

Board::Board(BoardInput input) : input_(std::move(input)) {
    std::ranges::stable_sort(input_.book.plans, {}, &Plan::date);
    for (const Tank& tank : input_.book.tanks) uses_[tank.name] = held(tank);
    for (const Plan& plan : input_.book.plans)
        if (plan.tank) uses_[*plan.tank].push_back(use_on(plan, plan.date));
    for (auto& [name, uses] : uses_) std::ranges::stable_sort(uses, {}, &TankUse::from);
}

const Recipe* Board::recipe(const std::optional<std::string>& name) const {
    return name ? find(input_.book.recipes, *name, &Recipe::name) : nullptr;
}
const BrewMade* Board::brew(const std::string& code) const {
    return find(input_.brews, code, &BrewMade::code);
}
const Plan* Board::plan(const std::string& code) const {
    return find(input_.book.plans, code, &Plan::code);
}
const Tank* Board::tank(const std::string& name) const {
    return find(input_.book.tanks, name, &Tank::name);
}

// A day that was stated keeps its distance from the brew.
TankUse Board::use_on(const Plan& plan, Date on) const {
    const Recipe* of = recipe(plan.recipe);
    const bool by_recipe = of != nullptr && of->tank_days;
    TankUse use;
    use.by = plan.code;
    use.recipe = plan.recipe;
    use.volume = plan.volume.value_or(of != nullptr ? of->volume : Litres(0.0));
    use.from = on;
    use.till = on + (plan.tank_till ? *plan.tank_till - plan.date : days(by_recipe ? *of->tank_days : usual_tank_days));
    use.is_stated = plan.tank_till || by_recipe;
    use.is_planned = true;
    return use;
}

std::optional<Date> Board::gone_from(const Tank& tank) const {
    std::optional<Date> gone;
    for (const BrewMade& made : input_.brews)
        if (tank.holds && (made.code == *tank.holds || made.into == *tank.holds) && made.gone)
            gone = std::max(gone.value_or(*made.gone), *made.gone);
    return gone;
}

// What a tank holds today, as far as it is still there: brews of one beer are free on one day.
std::vector<TankUse> Board::held(const Tank& tank) const {
    std::vector<TankUse> uses;
    const Date since = tank.since.value_or(input_.today);
    if (tank.used_for && (!tank.till || input_.today < *tank.till))
        uses.push_back({*tank.used_for, {}, tank.volume, since, tank.till});
    if (!tank.holds || gone_from(tank)) return uses;
    int stays = 0;
    Date last = since;
    bool is_stated = tank.till.has_value();
    for (const BrewMade& made : input_.brews) {
        if (made.code != *tank.holds && made.into != *tank.holds) continue;
        const Recipe* of = recipe(made.recipe);
        const bool moved = made.date < since;
        const bool by_recipe = !moved && of != nullptr && of->tank_days;
        stays = std::max(stays, moved ? usual_bright_days : by_recipe ? *of->tank_days : usual_tank_days);
        is_stated = is_stated || by_recipe;
        last = std::max(last, made.date);
        uses.push_back({made.code, made.recipe, made.volume.value_or(Litres(0.0)), std::max(since, made.date)});
    }
    for (TankUse& use : uses) {
        use.till = tank.till.value_or(last + days(stays));
        use.is_stated = is_stated;
        use.is_overdue = *use.till <= input_.today;
        if (use.is_overdue) use.till = input_.today + days(1);
    }
    return uses;
}

std::vector<TankState> Board::tanks() const {
    std::vector<TankState> states;
    for (const Tank& tank : input_.book.tanks) {
        TankState state{tank, uses_.at(tank.name)};
        state.is_in_use = std::ranges::any_of(state.uses, [](const TankUse& use) { return !use.is_planned; });
        if (tank.holds)
            state.emptied = gone_from(tank);
        else if (tank.used_for)
            state.emptied = state.is_in_use ? std::nullopt : tank.till;
        else
            state.emptied = tank.since;
        state.is_to_be_cleaned = !state.is_in_use && state.emptied && (!tank.cleaned || *tank.cleaned < *state.emptied);
        states.push_back(std::move(state));
    }
    std::ranges::sort(states, {}, [](const TankState& state) { return state.tank.name; });
    return states;
}

// Of one day those come first that stand first in the book.
bool Board::comes_after(const std::string& other, Date from, const Plan& plan, Date on) const {
    const auto place = [&](const std::string& code) {
        return std::ranges::find(input_.book.plans, code, &Plan::code) - input_.book.plans.begin();
    };
    return std::pair(on, place(plan.code)) < std::pair(from, place(other));
}

void Board::add_kettle(const Plan& plan, Date on, Of which, std::vector<Clash>& clashes) const {
    if (!plan.brewhouse) return;
    const Brewhouse* house = find(input_.book.brewhouses, *plan.brewhouse, &Brewhouse::name);
    if (house == nullptr || !house->brews_per_day) return;
    std::vector<std::string> others;
    for (const BrewMade& made : input_.brews)
        if (made.brewhouse == house->name && made.date == on) others.push_back(made.code);
    for (const Plan& other : input_.book.plans)
        if (other.code != plan.code && other.brewhouse == plan.brewhouse && other.date == on &&
            (which == Of::all || !comes_after(other.code, other.date, plan, on)))
            others.push_back(other.code);
    if (static_cast<int>(others.size()) < *house->brews_per_day) return;
    clashes.push_back(
        {Clash::Of::kettle, fmt::format("{} does {} a day, and brews {} on {}", house->name,
                                        counted(*house->brews_per_day, "brew"), fmt::join(others, ", "), to_iso(on))});
}

void Board::add_tank(const Plan& plan, Date on, Of which, std::vector<Clash>& clashes) const {
    if (!plan.tank) return;
    const Tank* into = tank(*plan.tank);
    if (into == nullptr) {
        clashes.push_back({Clash::Of::tank, fmt::format("there is no tank {}", *plan.tank), false});
        return;
    }
    if (into->kind != TankKind::fermenter)
        clashes.push_back({Clash::Of::tank, fmt::format("{} is a bright tank", into->name), false});
    const TankUse use = use_on(plan, on);
    if (use.volume > into->volume)
        clashes.push_back(
            {Clash::Of::tank,
             fmt::format("{} takes {}, and {} would go in", into->name, litres(into->volume), litres(use.volume)),
             false});
    Litres together = use.volume;
    std::vector<std::string> with;
    for (const TankUse& other : uses_.at(into->name)) {
        if (other.by == plan.code || !overlap(use, other)) continue;
        if (which == Of::before && other.is_planned && comes_after(other.by, other.from, plan, on)) continue;
        if (!is_one_beer(use, other)) {
            clashes.push_back({Clash::Of::tank, use_text(into->name, other)});
            return;
        }
        together = together + other.volume;
        with.push_back(other.by);
    }
    if (!with.empty() && together > into->volume)
        clashes.push_back(
            {Clash::Of::tank, fmt::format("{} takes {}, and with {} it would be {}", into->name, litres(into->volume),
                                          fmt::join(with, ", "), litres(together))});
}

// A crop is one generation on from what its brew pitched.
int Board::generation_of(const Plan& plan, int depth) const {
    if (depth > most_generations) return depth; // plans in a circle
    if (plan.yeast_of_plan) {
        const Plan* source = this->plan(*plan.yeast_of_plan);
        return 1 + (source != nullptr ? generation_of(*source, depth + 1) : 0);
    }
    if (plan.yeast_of_brew) {
        const BrewMade* source = brew(*plan.yeast_of_brew);
        return 1 + (source != nullptr ? source->generation : 0);
    }
    int most = 0;
    for (const Reservation& reservation : plan.reserved)
        for (const LotState& state : input_.lots)
            if (state.lot.code == reservation.lot) most = std::max(most, state.lot.generation.value_or(0));
    return most;
}

std::optional<Crop> Board::crop(const Plan& plan) const {
    if (!plan.yeast_of_plan && !plan.yeast_of_brew) return std::nullopt;
    Crop crop;
    crop.of = plan.yeast_of_plan.value_or(plan.yeast_of_brew.value_or(""));
    crop.generation = generation_of(plan, 0);
    const Plan* planned = plan.yeast_of_plan ? this->plan(crop.of) : nullptr;
    const BrewMade* made = plan.yeast_of_brew ? brew(crop.of) : nullptr;
    if (planned == nullptr && made == nullptr) return crop;
    const Recipe* of = recipe(planned != nullptr ? planned->recipe : made->recipe);
    const bool by_recipe = of != nullptr && of->harvest_days;
    crop.is_there = made != nullptr && made->harvested;
    crop.is_stated = crop.is_there || by_recipe;
    const Date brewed = planned != nullptr ? planned->date : made->date;
    crop.from = crop.is_there ? *made->harvested : brewed + days(by_recipe ? *of->harvest_days : usual_harvest_days);
    crop.till = *crop.from + days(crop_keeps_days);
    return crop;
}

void Board::add_yeast(const Plan& plan, Date on, std::vector<Clash>& clashes) const {
    const auto crop = this->crop(plan);
    if (!crop) return;
    if (!crop->from)
        clashes.push_back(
            {Clash::Of::yeast, fmt::format("{}, whose yeast it was to pitch, is no more", crop->of), false});
    else if (on < *crop->from)
        clashes.push_back(
            {Clash::Of::yeast, fmt::format("the yeast of {} is there on {}", crop->of, to_iso(*crop->from))});
    else if (*crop->till < on)
        clashes.push_back({Clash::Of::yeast, fmt::format("the yeast of {} is there on {}, and good for {} days",
                                                         crop->of, to_iso(*crop->from), crop_keeps_days)});
}

std::vector<Clash> Board::clashes(const Plan& plan, Date on, Of which) const {
    std::vector<Clash> all;
    add_kettle(plan, on, which, all);
    add_tank(plan, on, which, all);
    add_yeast(plan, on, all);
    return all;
}

std::optional<Date> Board::next_day(const Plan& plan, Date from) const {
    for (Date day = std::max(from, input_.today); day <= from + looked_ahead; day += days(1))
        if (clashes(plan, day).empty()) return day;
    return std::nullopt;
}

std::optional<std::string> Board::other_tank(const Plan& plan) const {
    const Tank* best = nullptr;
    for (const Tank& tank : input_.book.tanks) {
        Plan into = plan;
        into.tank = tank.name;
        const bool is_better =
            best == nullptr || std::pair(tank.volume, tank.name) < std::pair(best->volume, best->name);
        if (is_better && clashes(into, plan.date).empty()) best = &tank;
    }
    return best != nullptr ? std::optional(best->name) : std::nullopt;
}

std::optional<TankUse> Board::use_of(const Plan& plan) const {
    return plan.tank ? std::optional(use_on(plan, plan.date)) : std::nullopt;
}

std::vector<Board::Trouble> Board::troubles() const {
    std::vector<Trouble> all;
    for (const Plan& plan : input_.book.plans)
        if (auto found = clashes(plan, plan.date, Of::before); !found.empty()) all.push_back({plan, std::move(found)});
    return all;
}

} // namespace lotwort
