// What an item is on a day, where no lot of it is meant in particular: what is missing of a plan, what is to be bought.
//
// A pale malt without figures on its card is what its sacks are, not what its class is like: a plan, a purchase and a
// substitution that each guessed for themselves named three sizes of one shortage.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/stock/lot.hpp>
#include <vector>

namespace lotwort {

// The item's card with what it leaves open filled in, field by field. A field is the mean by mass of the lots on hand
// whose certificate states it (retests up to the day, alpha aged to it). Where none does, it is that of the last
// three lots received that do. What nobody states stays open, and is typical then (malt.hpp, hop_age.hpp). Extract is
// stated as fine dry then. Lots on hold count: they are the same malt.
[[nodiscard]] Item item_as_known(Item item, const std::vector<LotState>& lots, Date day);

// All of them.
[[nodiscard]] std::vector<Item> items_as_known(std::vector<Item> items, const std::vector<LotState>& lots, Date day);

} // namespace lotwort
