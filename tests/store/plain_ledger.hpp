// A ledger as plain lists in memory, written without a look at the other: what it takes, gives back and promises
// follows from a walk over everything that was ever booked.
#pragma once

#include <algorithm>
#include <cstdint>
#include <map>
#include <optional>
#include <vector>

namespace lotwort::test {

constexpr int plain_days = 12;
constexpr int plain_lots = 4;
constexpr int plain_plans = 3;

struct PlainMove {
    int lot = 0;
    int on = 0;
    std::int64_t change = 0;
};

// A plan as it is stated: what it promises of which lots, nothing once it is called off.
struct PlainPlan {
    int plan = 0;
    std::map<int, std::int64_t> promises;
    bool called_off = false;
};

struct PlainEntry {
    std::vector<PlainMove> moves; // the receipt first
    int receives = -1;            // lot
    std::optional<PlainPlan> states{};
    int brews = -1;    // plan
    int corrects = -1; // the entry of the brew of which a weight is put right
    bool live = true;
};

class PlainLedger {
public:
    std::vector<PlainEntry> entries;

    [[nodiscard]] bool is_there(int lot) const { return receipt_of(lot) != nullptr; }

    // No day may end with less than nothing of a lot; a lot is there once, and nothing is booked of it before it came
    // or promised of one that is not there; a plan that is brewed stays, and one that is not there, is called off or
    // was brewed is not brewed.
    [[nodiscard]] bool takes(const PlainEntry& entry) const {
        if (entry.receives >= 0 && is_there(entry.receives)) return false;
        for (const auto& move : entry.moves) {
            const auto* receipt = entry.receives == move.lot ? &entry : receipt_of(move.lot);
            if (receipt == nullptr || move.on < receipt->moves[0].on) return false;
        }
        if (!takes_plan(entry)) return false;
        auto all = live_moves();
        all.insert(all.end(), entry.moves.begin(), entry.moves.end());
        return sound(all);
    }

    // No correction, and not from under another entry: one that corrects it, books on or promises of a lot it received,
    // has used what it brought, or brewed the plan it states.
    [[nodiscard]] bool gives_back(std::size_t number) const {
        const auto& entry = entries[number];
        if (!entry.live || entry.corrects >= 0) return false;
        std::vector<PlainMove> rest;
        for (std::size_t i = 0; i < entries.size(); ++i) {
            const auto& other = entries[i];
            if (i == number || !other.live) continue;
            if (other.corrects == static_cast<int>(number)) return false;
            if (entry.states && other.brews == entry.states->plan) return false;
            if (other.states && other.states->promises.contains(entry.receives)) return false;
            for (const auto& move : other.moves) {
                if (move.lot == entry.receives) return false;
                rest.push_back(move);
            }
        }
        return sound(rest);
    }

    [[nodiscard]] std::int64_t balance(int lot) const {
        std::int64_t sum = 0;
        for (const auto& move : live_moves())
            if (move.lot == lot) sum += move.change;
        return sum;
    }

    // By plans that are neither brewed nor called off.
    [[nodiscard]] std::int64_t promised(int lot) const {
        std::int64_t sum = 0;
        for (int plan = 0; plan < plain_plans; ++plan) {
            const auto* holds = stated(plan);
            if (holds == nullptr || is_brewed(plan)) continue;
            const auto promise = holds->promises.find(lot);
            if (promise != holds->promises.end()) sum += promise->second;
        }
        return sum;
    }

private:
    [[nodiscard]] const PlainEntry* receipt_of(int lot) const {
        for (const auto& entry : entries)
            if (entry.live && entry.receives == lot) return &entry;
        return nullptr;
    }

    // As it was stated last.
    [[nodiscard]] const PlainPlan* stated(int plan) const {
        const PlainPlan* last = nullptr;
        for (const auto& entry : entries)
            if (entry.live && entry.states && entry.states->plan == plan) last = &*entry.states;
        return last;
    }

    [[nodiscard]] bool is_brewed(int plan) const {
        return std::any_of(entries.begin(), entries.end(), [&](const auto& e) { return e.live && e.brews == plan; });
    }

    [[nodiscard]] bool takes_plan(const PlainEntry& entry) const {
        if (entry.states) {
            if (is_brewed(entry.states->plan)) return false;
            for (const auto& [lot, amount] : entry.states->promises)
                if (lot != entry.receives && !is_there(lot)) return false;
        }
        if (entry.brews < 0) return true;
        const auto* plan = entry.states && entry.states->plan == entry.brews ? &*entry.states : stated(entry.brews);
        return plan != nullptr && !plan->called_off && !is_brewed(entry.brews);
    }

    [[nodiscard]] std::vector<PlainMove> live_moves() const {
        std::vector<PlainMove> moves;
        for (const auto& entry : entries)
            if (entry.live) moves.insert(moves.end(), entry.moves.begin(), entry.moves.end());
        return moves;
    }

    [[nodiscard]] static bool sound(const std::vector<PlainMove>& moves) {
        for (int lot = 0; lot < plain_lots; ++lot)
            for (int on = 0; on < plain_days; ++on) {
                std::int64_t sum = 0;
                for (const auto& move : moves)
                    if (move.lot == lot && move.on <= on) sum += move.change;
                if (sum < 0) return false;
            }
        return true;
    }
};

} // namespace lotwort::test
