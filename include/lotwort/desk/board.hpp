// The board as the ledger has it: tanks, what they hold, and the brews that give yeast.
#pragma once

#include <lotwort/brew/board.hpp>
#include <lotwort/desk/desk.hpp>
#include <lotwort/report/plan.hpp>

namespace lotwort {

// Of today, as it is once the part is booked.
[[nodiscard]] Board board_of(const Desk& desk, const Book& part = {});

[[nodiscard]] report::Placed placed(const Board& board, const Plan& plan, Board::Of which = Board::Of::before);

// What is to be booked when a brew is run into a tank, that tank first: the one that held it before is emptied. Error
// (refused) where something else is in the tank.
[[nodiscard]] std::vector<Tank> run_into(const TankState& into, const std::string& brew, Date on, const Book& book);

// The tank without what was in it.
[[nodiscard]] Tank emptied(Tank tank, Date on);

} // namespace lotwort
