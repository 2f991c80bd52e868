// Amounts of a lot, typed, and what is said where there is less.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/stock/lot.hpp>
#include <lotwort/store/ledger.hpp>
#include <string>
#include <vector>

namespace lotwort::verbs {

// An amount of a lot, typed: in the lot's own measure. Error(refused) otherwise.
[[nodiscard]] Amount parse_amount_of(const Lot& lot, const std::string& typed);

// "LOT" or "LOT=AMOUNT"; a lot's code may hold the sign itself. Error(refused) where there is no such lot.
struct OfLot {
    std::string lot;
    std::optional<Amount> amount;
};
[[nodiscard]] OfLot parse_of_lot(const std::string& typed, const std::vector<LotState>& lots);

// Error(shortage): `wanted` is more than `there`; the hint names the item's lots that have some free.
[[noreturn]] void refuse_shortage(Ledger& ledger, const Lot& lot, Amount wanted, Amount there, const std::string& when);

} // namespace lotwort::verbs
