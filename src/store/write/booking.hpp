// A book on its way into the ledger: the steps of an append, in the order in which one row refers to another.
// All of them run in the one transaction that the caller holds.
#pragma once

#include "file/sqlite.hpp"
#include <lotwort/brew/book.hpp>
#include <lotwort/stock/entry.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort::store {

// The head's row; its number.
[[nodiscard]] std::int64_t write_entry(Connection& connection, const EntryHead& head);

// Everything of the book, under the entry.
void write_book(Connection& connection, std::int64_t entry, const Book& part);

// Error(refused) where a record breaks a rule of its kind, or a lot one of its item's.
void check_records(Connection& connection, const Book& part);

// The steps. Names are known to be good (names.hpp).
void write_definitions(Connection& connection, std::int64_t entry, const Book& part);

// Returns the lots that were received by it; a lot of a known code gains retests, or goes on or off hold.
[[nodiscard]] std::vector<const Lot*> write_lots(Connection& connection, std::int64_t entry, const Book& part);
std::vector<const Lot*> write_lots(Connection&, std::int64_t, const Book&&) = delete;
void write_offers_and_orders(Connection& connection, std::int64_t entry, const Book& part);
void write_plans(Connection& connection, std::int64_t entry, const Book& part);
void write_brews(Connection& connection, std::int64_t entry, const Book& part);
void write_packages(Connection& connection, std::int64_t entry, const Book& part);
void write_tanks(Connection& connection, std::int64_t entry, const Book& part); // what holds a brew comes after it

// Receipts, what the brews took, and the book's own movements, in the order of their days and, within a day, what is
// added first. So a whole history goes in, in whatever order its file holds it.
void write_movements(Connection& connection, std::int64_t entry, const Book& part,
                     const std::vector<const Lot*>& received);

// Error(refused) where what was booked closes a circle: a lot made of itself, yeast harvested from the brew that
// pitched it, a brew run into its own fermenter. Also where a brew was run into one that was given up.
void refuse_circles(Connection& connection, const Book& part);

// The id of the identity row of that name in table `table`, made where there is none.
[[nodiscard]] std::int64_t identity(Connection& connection, std::string_view table, std::string_view name_column,
                                    std::string_view name);

} // namespace lotwort::store
