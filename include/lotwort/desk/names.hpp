// Records by their names, with the nearest ones offered where there is none.
#pragma once

#include <lotwort/brew/book.hpp>
#include <lotwort/store/ledger.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lotwort {

// Where in `names` one is as typed, else the only one that differs in capitals alone: p2 finds P2.
[[nodiscard]] std::optional<std::size_t> find_name(const std::vector<std::string>& names, std::string_view typed);

// Classes of malt that figures are known of.
[[nodiscard]] std::vector<std::string> malt_class_names();

// Items, lots and brews are found so.
[[nodiscard]] std::vector<std::string> item_names(const Book& book);
[[nodiscard]] const Item* find_item(const Book& book, std::string_view name);
const Item* find_item(const Book&&, std::string_view) = delete;
// Error(refused) with the nearest names.
[[nodiscard]] const Item& known_item(const Book& book, std::string_view name);
const Item& known_item(const Book&&, std::string_view) = delete;
// The lot's, as the ledger has it now.
[[nodiscard]] Item item_of(const Ledger& ledger, const Lot& lot);
// A lot by its code, by the silo that it lies in, or by its item's name where that has one lot; Error(refused) where
// several, oldest first.
[[nodiscard]] std::optional<LotState> find_lot(Ledger& ledger, std::string_view code);
[[nodiscard]] LotState known_lot(Ledger& ledger, std::string_view code);
[[nodiscard]] std::optional<Brew> find_brew(Ledger& ledger, std::string_view code);
[[nodiscard]] Brew known_brew(Ledger& ledger, std::string_view code);

// "there is no lot `X`", with the nearest of the names, or what to do where there are none.
[[noreturn]] void refuse_unknown(std::string_view kind, std::string_view name, const std::vector<std::string>& names,
                                 std::string_view where_to_look);

// Error(refused) with the nearest names.
[[nodiscard]] const Brewhouse& known_brewhouse(const Book& book, std::string_view name);
const Brewhouse& known_brewhouse(const Book&&, std::string_view) = delete;
[[nodiscard]] const Recipe& known_recipe(const Book& book, std::string_view name);
const Recipe& known_recipe(const Book&&, std::string_view) = delete;
[[nodiscard]] const Tank* find_tank(const Book& book, std::string_view name);
const Tank* find_tank(const Book&&, std::string_view) = delete;
[[nodiscard]] const Tank& known_tank(const Book& book, std::string_view name);
const Tank& known_tank(const Book&&, std::string_view) = delete;
[[nodiscard]] const Order& known_order(const Book& book, std::string_view code);
const Order& known_order(const Book&&, std::string_view) = delete;
[[nodiscard]] const Instrument& known_instrument(const Book& book, std::string_view name);
const Instrument& known_instrument(const Book&&, std::string_view) = delete;

// The brewhouse named, else the only one there is. Error(refused) where there is none, or several.
[[nodiscard]] const Brewhouse& chosen_brewhouse(const Book& book, const std::optional<std::string>& name);
const Brewhouse& chosen_brewhouse(const Book&&, const std::optional<std::string>&) = delete;

// Error(refused) with the nearest codes.
[[nodiscard]] const LotState& lot_among(const std::vector<LotState>& lots, const std::string& code);
const LotState& lot_among(const std::vector<LotState>&&, const std::string&) = delete;

// Error(refused) for a day before the lot arrived.
void demand_arrived(const Lot& lot, Date on);

[[nodiscard]] const Plan* find_plan(const Book& book, std::string_view code);
const Plan* find_plan(const Book&&, std::string_view) = delete;

// The codes of plans, open or not.
[[nodiscard]] std::vector<std::string> plan_codes(const std::vector<Plan>& plans);

} // namespace lotwort
