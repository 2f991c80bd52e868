// Movements on their way into the ledger, and the lots they touch.
#pragma once

#include "booking_order.hpp"
#include "file/sqlite.hpp"
#include <array>
#include <cstdint>
#include <deque>
#include <lotwort/brew/book.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

namespace lotwort::store {

// Of a movement of the ledger by its id there, m12: 12. 0: it is no such id.
[[nodiscard]] std::int64_t movement_number(std::string_view id);

struct LotRow {
    std::int64_t lot_id = 0;
    Measure measure = Measure::mass;
    std::string item;
    Date received;
    std::optional<Date> newest_on;   // day of its last movement
    std::optional<std::string> held; // by an earlier entry
    Date held_from;                  // the day of that entry
};

// A movement on its way. It looks into the book, and into what Rows keeps.
struct MovementRow {
    const LotRow* lot = nullptr;
    std::int64_t change = 0;
    std::int64_t brew_id = 0; // none: 0
    const Addition* addition = nullptr;
    const Movement* movement = nullptr; // of the book's own
    std::string_view reason;            // none: empty
    std::string_view whose;             // who asks, for messages
    Date on;
    MovementKind kind = MovementKind::count;
    Turn turn;
};

// Live lots and brews by code, each looked up once.
class Rows {
public:
    Rows(Connection& connection, std::int64_t entry) : connection_(connection), entry_(entry) {}
    const LotRow& lot(const std::string& code);
    std::int64_t brew(const std::string& code);
    // The number of a brew's use that stands in the ledger and is taken back by its id there, m12; 0: there is none.
    [[nodiscard]] std::int64_t used_by_brew(const Movement& reversal);
    // A text that rows look into.
    std::string_view keep(std::string text) { return kept_.emplace_back(std::move(text)); }

private:
    Connection& connection_;
    std::int64_t entry_;
    std::unordered_map<std::string, LotRow> lots_;
    std::unordered_map<std::string, std::int64_t> brews_;
    std::deque<std::string> kept_;
};

// The book's own movements, looked through before any of them is booked. Error(refused) where one cannot stand:
// - an id that stands twice;
// - a receipt that is not taken back (it belongs to its lot);
// - a use that is not taken back and names no brew and stage;
// - a reversal that is not exactly opposite.
class OwnMovements {
public:
    OwnMovements(const std::vector<Movement>& movements, Rows& rows);

    // A movement that is taken back.
    struct Original {
        const Movement* movement = nullptr;
        bool answered = false;
        std::int64_t movement_id = 0; // once it is booked
    };
    [[nodiscard]] Original* taken_back(const Movement& movement); // none: it stands, or it takes another back
    [[nodiscard]] Original& original_of(const Movement& reversal);
    // Lots from which something was taken that came back.
    [[nodiscard]] bool has_pairs(const LotRow& lot) const { return with_pairs_.contains(&lot); }

    // What of the lot comes back by answers to what stands in the ledger: weights that are corrected.
    [[nodiscard]] std::int64_t corrected(std::string_view lot) const;

    // A row of each, its turn known.
    void collect(std::vector<MovementRow>& into);

private:
    void check(const Movement& movement);
    [[nodiscard]] MovementRow row(const Movement& movement);
    [[nodiscard]] Turn turn(const MovementRow& row);

    const std::vector<Movement>& movements_;
    Rows& rows_;
    std::unordered_map<std::string_view, Original> originals_; // by id
    std::unordered_set<const LotRow*> with_pairs_;
    std::array<std::string_view, WordsOf<MovementKind>::list.size()> whose_;
};

// Error(refused) where the lot is counted in another measure, or had not arrived by the day.
void check_measure(const LotRow& lot, std::string_view code, Amount amount, std::string_view whose);
void check_arrived(const LotRow& lot, std::string_view code, Date on, std::string_view whose);

} // namespace lotwort::store
