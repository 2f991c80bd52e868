#include "run_into.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/board.hpp>

namespace lotwort::verbs {

namespace {

// A brew that is there, on that day or before.
void demand_brew(const std::vector<Brew>& brews, const std::string& code, Date day) {
    const auto found = std::ranges::find(brews, code, &Brew::code);
    if (found == brews.end()) {
        std::vector<std::string> codes;
        for (const auto& brew : brews) codes.push_back(brew.code);
        refuse_unknown("brew", code, codes, "lotwort brew");
    }
    if (found->date > day)
        throw Error(ErrorKind::refused,
                    fmt::format("{} was brewed on {}: this brew, of {}, cannot have been run into it", code,
                                to_iso(found->date), to_iso(day)),
                    "name the earlier of the two, and book the later one with --into");
    if (found->abandoned)
        throw Error(
            ErrorKind::refused,
            fmt::format("{} was given up ({}): its fermenter holds nothing to be run into", code, *found->abandoned),
            "leave --into out");
}

// FV1,FV2: a brew split between two is one beer to the ledger.
void demand_one_tank(const std::string& typed, const Book& book) {
    const auto comma = typed.find_first_of(",+&");
    const std::string first = typed.substr(0, comma);
    if (comma == std::string::npos || find_tank(book, first) == nullptr) return;
    throw Error(ErrorKind::refused, fmt::format("`{}` are several tanks, and a brew is booked into one", typed),
                fmt::format("book it into the first: --into {}; then read what went into all of them as one, such as "
                            "fermenter 22L 1.050",
                            shell_word(first)));
}

TankState state_of(const Board& board, const std::string& name) {
    const auto tanks = board.tanks();
    const auto found = std::ranges::find(tanks, name, [](const TankState& state) { return state.tank.name; });
    LOTWORT_CHECK(found != tanks.end());
    return *found;
}

TankUse use_of(const Brew& brew) {
    return {brew.code, brew.recipe, Litres(0.0), brew.date};
}

} // namespace

Brewed run_out(Call& call, Brew& brew, const Plan* plan, const Book& book, const std::vector<Brew>& brews) {
    const auto into = call.args.text("into");
    const bool is_brew = into && std::ranges::find(brews, *into, &Brew::code) != brews.end();
    const Tank* tank = into && !is_brew ? find_tank(book, *into) : nullptr;
    if (into && tank == nullptr) {
        demand_one_tank(*into, book);
        demand_brew(brews, *into, brew.date);
        brew.fermented_with = into;
        return {};
    }
    if (!into && plan != nullptr && plan->tank) tank = find_tank(book, *plan->tank);
    if (tank == nullptr) return {};
    const TankState state = state_of(board_of(call.desk()), tank->name);
    if (state.is_in_use && tank->holds && is_one_beer(state.uses.front(), use_of(brew)) &&
        state.uses.front().from <= brew.date) {
        brew.fermented_with = tank->holds;
        return {};
    }
    if (!state.is_in_use || into) return {run_into(state, brew.code, brew.date, book), {}};
    return {{},
            {fmt::format("{} is in use by {}: say where {} went with lotwort tank fill TANK {}", tank->name,
                         state.uses.front().by, brew.code, shell_word(brew.code))}};
}

} // namespace lotwort::verbs
