#include "new_movements.hpp"
#include <fmt/format.h>
#include <optional>
#include <set>
#include <tuple>
#include <unordered_map>
#include <unordered_set>

namespace lotwort {

namespace {

std::string_view said(const std::optional<std::string>& text) {
    return text ? std::string_view(*text) : std::string_view(); // an empty text says nothing
}
std::string_view said(const std::optional<std::string>&&) = delete;

// A movement, and what takes it back; null: it stands.
struct Stated {
    const Movement* movement;
    const Movement* answer;
};

// Orders by what is said; ids are left out.
struct BySaid {
    static auto said_by(const Movement& m) {
        return std::tuple(m.on, std::string_view(m.lot), m.kind, m.change.measure, m.change.units, said(m.reason),
                          said(m.brew), m.stage, m.minutes ? std::optional(m.minutes->value()) : std::nullopt);
    }
    bool operator()(const Stated& a, const Stated& b) const {
        const auto here = said_by(*a.movement), there = said_by(*b.movement);
        if (here != there) return here < there;
        if (a.answer == nullptr || b.answer == nullptr) return a.answer == nullptr && b.answer != nullptr;
        return said_by(*a.answer) < said_by(*b.answer);
    }
};

// Those of a list that take nothing back.
std::vector<Stated> stated_in(const std::vector<Movement>& list) {
    std::unordered_map<std::string_view, const Movement*> answers;
    for (const Movement& movement : list)
        if (movement.reverses) answers[*movement.reverses] = &movement;
    std::vector<Stated> stated;
    for (const Movement& movement : list) {
        if (movement.reverses) continue;
        const auto answer = movement.id ? answers.find(*movement.id) : answers.end();
        stated.push_back({&movement, answer == answers.end() ? nullptr : answer->second});
    }
    return stated;
}

} // namespace

std::vector<Movement> new_movements(const std::vector<Movement>& file, const std::vector<Movement>& ledger,
                                    std::string_view source, const Places& places, FaultLines& conflicts) {
    const auto there = stated_in(ledger);
    std::multiset<Stated, BySaid> unmatched(there.begin(), there.end());
    const auto match = [&](const Stated& stated) {
        const auto found = unmatched.find(stated);
        if (found == unmatched.end()) return false;
        unmatched.erase(found);
        return true;
    };
    std::unordered_set<const Movement*> fresh;
    std::vector<Stated> fresh_pairs;
    for (const Stated& stated : stated_in(file)) {
        if (match(stated)) continue;
        fresh.insert(stated.movement);
        if (stated.answer == nullptr) continue;
        fresh.insert(stated.answer);
        fresh_pairs.push_back(stated);
    }
    // pairs have been matched with pairs; only then is it known what is left of the ledger's that stand
    for (const auto& [movement, answer] : fresh_pairs)
        if (match({movement, nullptr}))
            conflicts.add([&] {
                const auto index = static_cast<std::size_t>(movement - file.data());
                return fmt::format("{}{}: movement {} of {}: taken back in the file, but it stands in the ledger",
                                   source, places.of("movements", index), *movement->id, to_iso(movement->on));
            });
    std::vector<Movement> added;
    for (const Movement& movement : file)
        if (fresh.contains(&movement)) added.push_back(movement);
    return added;
}

} // namespace lotwort
