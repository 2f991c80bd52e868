// Where the wort of a brew goes: a tank of its own, or the fermenter of an earlier brew.
#pragma once

#include "shared.hpp"
#include <lotwort/brew/brew.hpp>

namespace lotwort::verbs {

struct Brewed {
    std::vector<Tank> tanks;          // to be booked with the brew
    std::vector<std::string> remarks; // what is in the way
};

// By --into, a tank or a brew, else by the plan. Of two brews of one beer in one tank the later is said to have been run
// into the earlier's fermenter. Error(refused) where --into names neither, or what cannot be run into.
[[nodiscard]] Brewed run_out(Call& call, Brew& brew, const Plan* plan, const Book& book,
                             const std::vector<Brew>& brews);

} // namespace lotwort::verbs
