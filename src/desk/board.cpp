#include <algorithm>
#include <fmt/format.h>
#include <lotwort/brew/promises.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/board.hpp>
#include <lotwort/desk/packages.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <set>

namespace lotwort {

namespace {

// The brews that the board asks about, each once.
class Made {
public:
    Made(const Desk& desk, const Book& book, const std::vector<LotState>& lots)
        : desk_(desk), book_(book), lots_(lots) {}

    // All that share the fermenter: their beer is packaged as one.
    void add_fermenter(const std::string& code) {
        const std::vector<Brew> brews = desk_.ledger.brews_of_fermenter(code);
        const auto gone = gone_of(brews);
        for (const Brew& brew : brews) add(brew, gone);
    }
    void add(const Brew& brew, std::optional<Date> gone = {}) {
        if (!seen_.insert(brew.code).second) return;
        BrewMade made{brew.code, brew.date, brew.brewhouse, brew.recipe, brew.fermented_with, {}, gone, 0, {}};
        const auto held = beer_left(desk_.ledger, book_, brew.code).held;
        if (held && !brew.fermented_with) made.volume = held;
        for (const Addition& addition : brew.additions)
            for (const LotState& state : lots_)
                if (state.lot.code == addition.lot)
                    made.generation = std::max(made.generation, state.lot.generation.value_or(0));
        for (const LotState& state : lots_)
            if (state.lot.harvested_from == brew.code)
                made.harvested = std::min(made.harvested.value_or(state.lot.received), state.lot.received);
        all_.push_back(std::move(made));
    }
    [[nodiscard]] std::vector<BrewMade> all() && { return std::move(all_); }

private:
    // The last run, where no more than trub is left; the brew's day, where all was given up.
    [[nodiscard]] std::optional<Date> gone_of(const std::vector<Brew>& brews) const {
        std::optional<Date> last;
        for (const Brew& brew : brews)
            for (const Package& run : desk_.ledger.packages_of(brew.code))
                last = std::max(last.value_or(run.on), run.on);
        if (last && beer_left(desk_.ledger, book_, brews.front().code).is_emptied()) return last;
        const bool given_up = std::ranges::all_of(brews, [](const Brew& brew) { return brew.abandoned.has_value(); });
        return given_up ? std::optional(brews.back().date) : std::nullopt;
    }

    const Desk& desk_;
    const Book& book_;
    const std::vector<LotState>& lots_;
    std::set<std::string> seen_;
    std::vector<BrewMade> all_;
};

} // namespace

Board board_of(const Desk& desk, const Book& part) {
    BoardInput input;
    input.today = desk.today;
    input.book = once_booked(desk.ledger.definitions(), part);
    input.lots = desk.ledger.lots();
    Made made(desk, input.book, input.lots);
    for (const Tank& tank : input.book.tanks)
        if (tank.holds) made.add_fermenter(*tank.holds);
    for (const Plan& plan : input.book.plans)
        if (plan.yeast_of_brew)
            if (const auto brew = desk.ledger.brew(*plan.yeast_of_brew)) made.add(*brew);
    const bool counts_turns = std::ranges::any_of(
        input.book.brewhouses, [](const Brewhouse& brewhouse) { return brewhouse.brews_per_day.has_value(); });
    const auto is_of_today = [&](const Plan& plan) { return plan.date == desk.today; };
    if (counts_turns && std::ranges::any_of(input.book.plans, is_of_today))
        for (const Brew& brew : desk.ledger.brews())
            if (brew.date == desk.today) made.add(brew);
    for (const Brew& brew : part.brews) made.add(brew);
    input.brews = std::move(made).all();
    return Board(std::move(input));
}

report::Placed placed(const Board& board, const Plan& plan, Board::Of which) {
    report::Placed at;
    at.plan = plan.code;
    at.tank = plan.tank;
    at.use = board.use_of(plan);
    at.crop = board.crop(plan);
    for (const Clash& clash : board.clashes(plan, plan.date, which)) at.clashes.push_back(clash.says);
    if (at.clashes.empty()) return at;
    at.next_day = board.next_day(plan, plan.date);
    if (plan.tank) at.other_tank = board.other_tank(plan);
    return at;
}

Tank emptied(Tank tank, Date on) {
    tank.holds.reset();
    tank.used_for.reset();
    tank.till.reset();
    tank.since = on;
    return tank;
}

std::vector<Tank> run_into(const TankState& into, const std::string& brew, Date on, const Book& book) {
    if (into.is_in_use && into.tank.holds != brew)
        throw Error(
            ErrorKind::refused,
            fmt::format("{} is in use by {}, and {} cannot go into it", into.tank.name, into.uses.front().by, brew),
            fmt::format("once it is empty: lotwort tank empty {}", shell_word(into.tank.name)));
    if (into.is_in_use)
        throw Error(ErrorKind::refused, fmt::format("{} is in {} already", brew, into.tank.name),
                    "lotwort tank lists them");
    std::vector<Tank> tanks{emptied(into.tank, on)};
    tanks.front().holds = brew;
    for (const Tank& other : book.tanks)
        if (other.holds == brew && other.name != into.tank.name) tanks.push_back(emptied(other, on));
    return tanks;
}

} // namespace lotwort
