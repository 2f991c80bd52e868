// Weighings as typed, and whether the lots hold them.
#pragma once

#include "shared.hpp"
#include <lotwort/brew/brew_day.hpp>
#include <map>

namespace lotwort::verbs {

// The notes of --weighed and --add: LOT=AMOUNT[@STAGE[,MINUTES]]. Error(refused) for an unknown lot, a lot on hold,
// or an amount of the wrong measure. An item's name is its lot, the planned one with --weighed.
[[nodiscard]] std::vector<Weighing> parse_weighings(const Call& call, const Book& book,
                                                    const std::vector<LotState>& lots, const PlannedBrew& planned = {});

// Error(refused) for a lot on hold.
void demand_not_held(const Lot& lot);

// One of them: PAM-1=4.36kg@mash; its lot may be on hold.
[[nodiscard]] Weighing parse_weighing(const std::string& text, const Book& book, const std::vector<LotState>& lots,
                                      const PlannedBrew& planned = {});

// Error(shortage) where the additions take more of a lot than it holds: what is free of the item, and where;
// Error(refused) where one takes of a lot on hold.
void demand_stock(const std::vector<Addition>& additions, const std::vector<LotState>& lots, Date day);

// Error(shortage) where the plan reserves less of a malt, sugar or hop than its recipe asks for on the day and no
// note makes up for it. `fresh` is the plan drawn up anew; stand_ins is what others count as of a line.
void demand_reserved(const PlannedBrew& planned, const PlannedBrew& fresh, const std::vector<Weighing>& notes,
                     const std::map<int, Amount>& stand_ins, const std::vector<LotState>& lots, Date day);

// What the recipe asks for and is not among what is booked, with what was free of it on that day and the command that
// adds it. Yeast and salts stop no brew, and are not dropped in silence either.
[[nodiscard]] std::vector<std::string> dropped_remarks(const PlannedBrew& planned, const WeighedIn& weighed,
                                                       const std::vector<LotState>& lots, const std::string& brew,
                                                       Date day);

// What is worth a look and stops nothing: a lot past its date.
[[nodiscard]] std::vector<std::string> stock_remarks(const std::vector<Addition>& additions,
                                                     const std::vector<LotState>& lots, Date day);

} // namespace lotwort::verbs
