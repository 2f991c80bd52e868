// A lot's stock on a day of the past, for counts and losses that are booked later.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/stock/lot.hpp>
#include <lotwort/store/ledger.hpp>
#include <string>
#include <vector>

namespace lotwort::cli {

// What was on hand at the end of the day.
[[nodiscard]] Amount on_hand_at(const std::vector<Movement>& movements, Measure measure, Date day);

// Error(refused) with the nearest codes.
[[nodiscard]] const LotState& lot_among(const std::vector<LotState>& lots, const std::string& code);
const LotState& lot_among(const std::vector<LotState>&&, const std::string&) = delete;

// An amount of a lot, typed: in the lot's own measure. Error(refused) otherwise.
[[nodiscard]] Amount parse_amount_of(const Lot& lot, const std::string& typed);

// Error(refused) for a day before the lot arrived.
void demand_arrived(const Lot& lot, Date on);

// Error(shortage): `wanted` is more than `there`; the hint names the item's lots that have some free.
[[noreturn]] void refuse_shortage(Ledger& ledger, const Lot& lot, Amount wanted, Amount there, const std::string& when);

} // namespace lotwort::cli
