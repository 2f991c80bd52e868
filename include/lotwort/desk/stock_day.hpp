// The stock on a day: as it is, or as it was on a day that later bookings lie behind.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/store/ledger.hpp>
#include <string>
#include <vector>

namespace lotwort {

// What was on hand at the end of the day.
[[nodiscard]] Amount on_hand_at(const std::vector<Movement>& movements, Measure measure, Date day);

// Has anything been booked for a later day? Then what is there now is not what was there then.
[[nodiscard]] bool is_past(Ledger& ledger, Date day);

// Lots and rows at the end of the day, at the prices of stock/worth.hpp. Of a day that is past as Ledger::lots_on.
[[nodiscard]] std::vector<LotState> lots_at(Ledger& ledger, Date day);
[[nodiscard]] std::vector<StockRow> rows_at(Ledger& ledger, Date day);

// As lots_at, but for holds: a lot that is on hold now is none to plan with, whatever day it is.
[[nodiscard]] std::vector<LotState> lots_to_plan(Ledger& ledger, Date day);

// What such an answer cannot know, in a sentence.
[[nodiscard]] std::string said_of_past(Date day);

// Error(refused) where today is past: whoever plans or buys by it would be misled.
void demand_today(const Desk& desk);

} // namespace lotwort
