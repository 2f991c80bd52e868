#include "new_movements.hpp"
#include <algorithm>
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

// The ids of one file, apart from those of the ledger.
void set_apart(std::optional<std::string>& id) {
    if (id) id = "of the file: " + *id;
}

} // namespace

bool is_use(const Movement& movement, const Use& use) {
    const Addition& addition = use.brew->additions[use.addition];
    return movement.kind == MovementKind::brew && movement.brew == use.brew->code && movement.lot == addition.lot &&
           movement.on == addition.on.value_or(use.brew->date) && movement.stage == addition.stage &&
           movement.minutes == addition.minutes && movement.change == -addition.amount;
}

NewMovements new_movements(const std::vector<Movement>& file, const std::vector<Movement>& ledger,
                           std::vector<Use> standing, const UseIds& use_ids, std::string_view source,
                           const Places& places, FaultLines& conflicts) {
    const auto there = stated_in(ledger);
    std::multiset<Stated, BySaid> unmatched(there.begin(), there.end());
    const auto match = [&](const Stated& stated) {
        const auto found = unmatched.find(stated);
        if (found == unmatched.end()) return false;
        unmatched.erase(found);
        return true;
    };
    const auto refuse = [&](const Movement& movement, std::string_view why) {
        conflicts.add([&] {
            const auto index = static_cast<std::size_t>(&movement - file.data());
            return fmt::format("{}{}: movement {} of {}: taken back in the file, but {}", source,
                               places.of("movements", index), *movement.id, to_iso(movement.on), why);
        });
    };
    NewMovements out;
    std::unordered_map<const Movement*, std::string> ledgers; // by the reversal: what it takes back there
    std::ranges::stable_sort(standing, {}, &Use::in_both);
    const auto corrects = [&](const Stated& stated) {
        const auto use = std::ranges::find_if(standing, [&](const Use& u) { return is_use(*stated.movement, u); });
        if (stated.answer == nullptr || use == standing.end()) return false;
        if (use->brew->abandoned)
            refuse(*stated.movement, fmt::format("{} was given up in the ledger with it", use->brew->code));
        else if (!use_ids)
            refuse(*stated.movement, "it stands in the ledger");
        else
            ledgers[stated.answer] = use_ids(*use->brew).at(use->addition);
        out.corrected.push_back(*use);
        standing.erase(use);
        return true;
    };
    std::unordered_set<const Movement*> fresh;
    std::vector<Stated> fresh_pairs;
    for (const Stated& stated : stated_in(file)) {
        if (match(stated) || corrects(stated)) continue;
        fresh.insert(stated.movement);
        if (stated.answer == nullptr) continue;
        fresh.insert(stated.answer);
        fresh_pairs.push_back(stated);
    }
    // pairs have been matched with pairs; only then is it known what is left of the ledger's that stand
    for (const auto& [movement, answer] : fresh_pairs)
        if (match({movement, nullptr})) refuse(*movement, "it stands in the ledger");
    for (const Stated& left : unmatched)
        if (left.answer != nullptr && left.movement->kind == MovementKind::brew)
            out.withdrawn.push_back(*left.movement);
    for (const Movement& movement : file) {
        const auto answers = ledgers.find(&movement);
        if (answers == ledgers.end() && !fresh.contains(&movement)) continue;
        Movement& added = out.added.emplace_back(movement);
        if (ledgers.empty()) continue;
        set_apart(added.id);
        if (answers == ledgers.end())
            set_apart(added.reverses);
        else
            added.reverses = answers->second;
    }
    return out;
}

} // namespace lotwort
