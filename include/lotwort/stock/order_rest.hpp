// How far orders have been filled.
#pragma once

#include <functional>
#include <lotwort/stock/offer.hpp>
#include <lotwort/stock/reserve.hpp>
#include <map>

namespace lotwort {

// One line of an order. received: of an item's several lines the earlier are filled first, the last has what came
// beyond them. What went back to the supplier, of a lot of the order or of one that was made of such lots alone, has
// not come: it is awaited again.
struct OrderRest {
    std::size_t line = 0;
    Amount ordered, received, awaited; // awaited: none of a closed order, and never below nothing
};

// lots: all that came (LotState::lot.received_amount counts). Lines that state no pack are left out.
[[nodiscard]] std::vector<OrderRest> rest_of(const Order& order, const std::vector<LotState>& lots);

// What each line costs in the house: its own cost, less its part of the order's discount by value, and with its part of
// the freight by value or by mass, to the hundredth (stock/share.hpp). Error(refused) where the discount is more than
// the goods, or freight goes by mass and a line states none.
[[nodiscard]] std::vector<Money> landed_costs(const Order& order);

// What of a freight bill that came after goods each of the order's lots bears, by value or by mass, to the hundredth:
// those that have come, each its part of what they came to. None where there is no such bill.
[[nodiscard]] std::map<std::string, Money>
freight_billed_after(const Order& order, const std::function<std::optional<Lot>(const std::string&)>& lot);

// Is something still to come? An order none of whose lines states a pack is open until anything of it has come.
[[nodiscard]] bool is_open(const Order& order, const std::vector<LotState>& lots);

} // namespace lotwort
