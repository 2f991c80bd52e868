// The yeast of a plan, counted by its cells (stock/yeast.hpp).
#pragma once

#include <lotwort/brew/planned.hpp>

namespace lotwort {

// A line that states no amount: as much as the wort asks for.
[[nodiscard]] bool is_counted(const OtherLine& line, const Item& item);

// What the recipe asks for of a yeast, billions of cells in that much wort of that gravity.
[[nodiscard]] double cells_for(const PlanRequest& request, const Item& yeast, SpecificGravity gravity);

// So much of the yeast as holds the billions that are wanted, by the lots in the order in which they are taken, the
// rest as if fresh. Whole packs and millilitres, 0.1 g; a tenth less is enough, for no count is better.
[[nodiscard]] Amount yeast_needed(const Item& yeast, double wanted, const std::vector<LotState>& lots, Date day,
                                  const std::vector<Pin>& pins);

// How much the wort asks for and what the yeast holds: of a counted line always, of one that states its amount where
// that is less than three quarters.
[[nodiscard]] std::vector<std::string> yeast_remarks(const PlanRequest& request, const PlannedBrew& planned);

} // namespace lotwort
