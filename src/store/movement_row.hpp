// Movements on their way into the ledger, and the lots they touch.
#pragma once

#include "sqlite.hpp"
#include <cstdint>
#include <deque>
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
    Date received;
    std::optional<Date> newest_on;   // day of its last movement
    std::optional<std::string> held; // by an earlier entry
    Date held_from;                  // the day of that entry
};

// A movement in a few words: a book may bring a million of them. It looks into the book, and into what Rows keeps.
struct MovementRow {
    static constexpr std::uint32_t none = 0xFFFFFFFF;

    const LotRow* lot = nullptr;
    std::int64_t change = 0;
    std::int64_t brew_id = 0; // none: 0
    const Addition* addition = nullptr;
    const Movement* movement = nullptr; // of the book's own
    std::string_view reason;            // none: empty
    std::string_view whose;             // who asks, for messages
    Date on;
    MovementKind kind = MovementKind::count;
    std::uint32_t reverses = none; // place in the list, as collected
};

// Live lots and brews by code, each looked up once.
class Rows {
public:
    Rows(Connection& connection, std::int64_t entry) : connection_(connection), entry_(entry) {}
    const LotRow& lot(const std::string& code);
    std::int64_t brew(const std::string& code);
    // A text that rows look into.
    std::string_view keep(std::string text) { return kept_.emplace_back(std::move(text)); }

private:
    Connection& connection_;
    std::int64_t entry_;
    std::unordered_map<std::string, LotRow> lots_;
    std::unordered_map<std::string, std::int64_t> brews_;
    std::deque<std::string> kept_;
};

// The book's own movements. Error(refused) where one cannot stand: a receipt that is not taken back (it belongs
// to its lot), a use that is not taken back and names no brew and stage, a reversal that is not exactly opposite.
void collect_movements(const Book& part, Rows& rows, std::vector<MovementRow>& into);

// Error(refused) where the lot is counted in another measure, or had not arrived by the day.
void check_measure(const LotRow& lot, std::string_view code, Amount amount, std::string_view whose);
void check_arrived(const LotRow& lot, std::string_view code, Date on, std::string_view whose);

} // namespace lotwort::store
