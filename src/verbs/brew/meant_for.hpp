// What a booked brew was meant to be.
#pragma once

#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/verbs/call.hpp>
#include <optional>
#include <vector>

namespace lotwort::verbs {

[[nodiscard]] bool is_by_shares(const Recipe& recipe);

struct MeantBrew {
    PlanRequest request;
    PlannedBrew brew;
    bool tells_volume = false; // its plan does; the ledger does not keep for how many litres a brew without one was
};

// What its recipe asks for, as far as the ledger tells: of its plan's litres, or the recipe's. None without a recipe.
[[nodiscard]] std::optional<MeantBrew> meant_for(Call& call, const Brew& brew, const Book& book,
                                                 const std::vector<LotState>& lots);

} // namespace lotwort::verbs
