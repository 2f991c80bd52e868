// Movements on their way into the ledger, and the lots they touch.
#pragma once

#include "sqlite.hpp"
#include <lotwort/brew/book.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace lotwort::store {

struct LotRow {
    std::int64_t lot_id = 0;
    Measure measure = Measure::mass;
    std::string item;
    std::string received;
    std::string newest_on;                // day of its last movement; empty where it has none
    std::optional<std::string> held;      // by an earlier entry
    std::optional<std::string> held_from; // the day of that entry
};

struct MovementRow {
    std::string on_date;
    const LotRow* lot = nullptr;
    MovementKind kind = MovementKind::count;
    std::int64_t change = 0;
    std::optional<std::string> reason;
    std::optional<std::int64_t> brew_id;
    std::optional<Stage> stage;
    std::optional<Minutes> minutes;
    std::optional<std::string> mass_instrument;
    std::optional<int> mash;
    std::optional<std::string> instead_of;
    std::optional<std::size_t> reverses; // place in the list, as collected
    std::string whose;                   // who asks, for messages
};

// Live lots and brews by code, each looked up once.
class Rows {
public:
    Rows(Connection& connection, std::int64_t entry) : connection_(connection), entry_(entry) {}
    const LotRow& lot(const std::string& code);
    std::int64_t brew(const std::string& code);

private:
    Connection& connection_;
    std::int64_t entry_;
    std::unordered_map<std::string, LotRow> lots_;
    std::unordered_map<std::string, std::int64_t> brews_;
};

// The book's own movements. Error(refused) where one cannot stand: a receipt that is not taken back (it belongs
// to its lot), a use that is not taken back and names no brew and stage, a reversal that is not exactly opposite.
void collect_movements(const Book& part, Rows& rows, std::vector<MovementRow>& into);

// Error(refused) where the lot is counted in another measure, or had not arrived by the day (YYYY-MM-DD).
void check_measure(const LotRow& lot, std::string_view code, Amount amount, std::string_view whose);
void check_arrived(const LotRow& lot, std::string_view code, std::string_view on_date, std::string_view whose);

} // namespace lotwort::store
