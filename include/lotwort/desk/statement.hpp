// A period's books, from the ledger.
#pragma once

#include <lotwort/desk/desk.hpp>
#include <lotwort/report/statement.hpp>

namespace lotwort {

// Both days belong to it. Error(refused) where the first is the later one, or the last has not come.
[[nodiscard]] report::Statement statement_of(const Desk& desk, Date from, Date to);

// The whole month of which YYYY-MM is typed, up to today where it is not over; Error(refused).
struct Period {
    Date from, to;
};
[[nodiscard]] Period month_of(const std::string& text, Date today);
[[nodiscard]] Period last_month(Date today); // that is over

// The last month that is over; where nothing was there by then, this one up to today.
[[nodiscard]] report::Statement last_statement(const Desk& desk);

} // namespace lotwort
