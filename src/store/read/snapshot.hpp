// What the ledger holds, read back as values. Callers hold the transaction that makes several of these one
// picture.
#pragma once

#include "file/sqlite.hpp"
#include <lotwort/brew/book.hpp>
#include <lotwort/store/ledger_values.hpp>
#include <optional>
#include <string_view>
#include <vector>

namespace lotwort::store {

[[nodiscard]] std::string read_currency(Connection& connection);
[[nodiscard]] std::vector<std::string> read_own_words(Connection& connection); // notes and reasons, each once
[[nodiscard]] std::vector<Item> read_items(Connection& connection);
[[nodiscard]] std::vector<Instrument> read_instruments(Connection& connection);
[[nodiscard]] std::vector<Brewhouse> read_brewhouses(Connection& connection);
[[nodiscard]] std::vector<Recipe> read_recipes(Connection& connection);
[[nodiscard]] std::vector<Tank> read_tanks(Connection& connection);
[[nodiscard]] std::vector<Supplier> read_suppliers(Connection& connection);
[[nodiscard]] std::vector<Offer> read_offers(Connection& connection);
[[nodiscard]] std::vector<Order> read_orders(Connection& connection);

// All of these in one book; plans are not in it.
[[nodiscard]] Book read_definitions(Connection& connection);

enum class Plans { all, open };
[[nodiscard]] std::vector<Plan> read_plans(Connection& connection, Plans which);

[[nodiscard]] std::vector<StockRow> read_stock(Connection& connection);

// All live lots, or the one of that code (then one or none).
[[nodiscard]] std::vector<LotState> read_lots(Connection& connection, std::optional<std::string_view> code = {});
// As read_lots, as it was at the end of the day; lots that had not come are left out.
[[nodiscard]] std::vector<LotState> read_lots_on(Connection& connection, Date day);
// The latest day of a movement or an entry that stands, where one is after the day.
[[nodiscard]] std::optional<Date> read_booked_after(Connection& connection, Date day);
[[nodiscard]] std::vector<LotOrigin> read_origins(Connection& connection);
[[nodiscard]] std::vector<Movement> read_movements(Connection& connection, std::string_view lot);

// All live brews, or the one of that code.
[[nodiscard]] std::vector<Brew> read_brews(Connection& connection, std::optional<std::string_view> code = {});

// The brew and all that share its fermenter.
[[nodiscard]] std::vector<Brew> read_fermenter(Connection& connection, std::string_view code);

// Live runs of packages, by day and then as booked: all, those of a brew, or the one of a code (then one or none).
enum class PackagesOf { all, brew, code };
[[nodiscard]] std::vector<Package> read_packages(Connection& connection, PackagesOf which = PackagesOf::all,
                                                 std::string_view code = {});

// The movements an export needs beside lots and brews: counts and discards, and each movement taken back with
// its reversal. In the order of their contents and numbered m1, m2, ... in it, so that two ledgers of one
// content give the same.
[[nodiscard]] std::vector<Movement> read_other_movements(Connection& connection);

[[nodiscard]] Measure read_measure(Query& query);

} // namespace lotwort::store
