// The tank and the yeast of a plan, as they are typed: --into, --till and --yeast-from.
#pragma once

#include "shared.hpp"
#include <lotwort/brew/board.hpp>
#include <lotwort/report/plan.hpp>

namespace lotwort::verbs {

[[nodiscard]] bool changes_place(const Call& call);

// As far as something is said of them. Error(refused) for a tank, plan or brew that nobody knows.
void parse_places(Call& call, const Book& book, Plan& plan);

// Other plans that something stands in the way of by this one alone, beyond what is said of it itself.
[[nodiscard]] std::vector<report::Placed> newly_in_trouble(const Board& before, const Board& after, const Plan& plan);

} // namespace lotwort::verbs
