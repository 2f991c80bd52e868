#include "new_movements.hpp"
#include <algorithm>
#include <cstdint>
#include <fmt/format.h>
#include <functional>
#include <optional>
#include <unordered_map>
#include <unordered_set>

namespace lotwort {

namespace {

// A list of movements, with the reversal of each that has one.
class Movements {
public:
    explicit Movements(const std::vector<Movement>& list) : list_(list) {
        for (const Movement& movement : list)
            if (movement.reverses) answer_to_[*movement.reverses] = &movement;
    }

    // What takes a movement back; none: it stands.
    [[nodiscard]] const Movement* answer_to(const Movement& movement) const {
        if (!movement.id || answer_to_.empty()) return nullptr;
        const auto found = answer_to_.find(*movement.id);
        return found == answer_to_.end() ? nullptr : found->second;
    }

    [[nodiscard]] std::unordered_set<std::string> ids() const {
        std::unordered_set<std::string> all;
        for (const Movement& movement : list_)
            if (movement.id) all.insert(*movement.id);
        return all;
    }

private:
    const std::vector<Movement>& list_;
    std::unordered_map<std::string_view, const Movement*> answer_to_;
};

// A movement with what takes it back, if anything does. Alike are two that say the same, ids left out.
struct Told {
    const Movement* movement;
    const Movement* answer;
};

std::string_view said(const std::optional<std::string>& text) {
    return text ? std::string_view(*text) : std::string_view(); // an empty text says nothing
}

bool says_the_same(const Movement* a, const Movement* b) {
    if (a == nullptr || b == nullptr) return a == b;
    return a->on == b->on && a->lot == b->lot && a->kind == b->kind && a->change == b->change &&
           said(a->reason) == said(b->reason) && said(a->brew) == said(b->brew) && a->stage == b->stage &&
           a->minutes == b->minutes;
}

struct Alike {
    bool operator()(const Told& a, const Told& b) const {
        return says_the_same(a.movement, b.movement) && says_the_same(a.answer, b.answer);
    }
};

struct HashOfTold {
    std::size_t operator()(const Told& told) const {
        const Movement& movement = *told.movement;
        std::size_t hash = std::hash<std::string_view>{}(movement.lot);
        for (const std::size_t part :
             {std::hash<std::int64_t>{}(movement.change.units),
              static_cast<std::size_t>(movement.on.time_since_epoch().count()), std::size_t(movement.kind),
              std::hash<std::string_view>{}(said(movement.reason)), std::size_t(told.answer != nullptr)})
            hash = (hash ^ part) * 0x9E3779B97F4A7C15U ^ hash >> 29U;
        return hash;
    }
};

// How many movements of each content the ledger holds that none of the file has answered for.
using Left = std::unordered_map<Told, std::uint32_t, HashOfTold, Alike>;

bool take(Left& left, const Movement& movement, const Movement* answer) {
    const auto found = left.find({&movement, answer});
    if (found == left.end() || found->second == 0) return false;
    --found->second;
    return true;
}

// Those of the file that are kept keep their order; ids that the ledger uses become others.
void rename_apart(std::vector<Movement>& part, std::unordered_set<std::string> there,
                  std::unordered_set<std::string> here, std::size_t spare,
                  std::unordered_map<std::string, std::string>& id_of) {
    for (Movement& movement : part) {
        if (!movement.id || !there.contains(*movement.id)) continue;
        std::string id;
        do id = fmt::format("m{}", ++spare);
        while (there.contains(id) || here.contains(id));
        if (const auto original = id_of.find(*movement.id); original != id_of.end() && !movement.reverses)
            original->second = id;
        movement.id = std::move(id);
    }
    for (Movement& movement : part)
        if (movement.reverses) movement.reverses = id_of.at(*movement.reverses);
}

} // namespace

std::vector<Movement> new_movements(std::vector<Movement> file, const std::vector<Movement>& ledger,
                                    std::string_view source, std::vector<std::string>& conflicts) {
    const Movements here(file);
    const Movements there(ledger);
    Left left;
    left.reserve(ledger.size());
    for (const Movement& movement : ledger)
        if (!movement.reverses) ++left[{&movement, there.answer_to(movement)}];

    std::vector<bool> fresh(file.size());
    std::unordered_map<std::string, std::string> id_of; // in the ledger, of the fresh ones that are taken back
    for (std::size_t i = 0; i < file.size(); ++i) {
        const Movement* answer = here.answer_to(file[i]);
        if (file[i].reverses || (!ledger.empty() && take(left, file[i], answer))) continue;
        fresh[i] = true;
        if (answer != nullptr) id_of[*file[i].id] = *file[i].id;
    }
    for (std::size_t i = 0; i < file.size(); ++i)
        if (fresh[i] && here.answer_to(file[i]) != nullptr && take(left, file[i], nullptr))
            conflicts.push_back(
                fmt::format("{}: movement {} of {}: taken back in the file, but it stands in the ledger", source,
                            *file[i].id, to_iso(file[i].on)));
    for (std::size_t i = 0; i < file.size(); ++i)
        if (file[i].reverses) fresh[i] = id_of.contains(*file[i].reverses);

    const bool any = std::ranges::find(fresh, true) != fresh.end();
    auto ids_there = any ? there.ids() : std::unordered_set<std::string>();
    auto ids_here = ids_there.empty() ? std::unordered_set<std::string>() : here.ids();
    std::size_t kept = 0;
    for (std::size_t i = 0; i < file.size(); ++i) {
        if (!fresh[i]) continue;
        if (kept != i) file[kept] = std::move(file[i]);
        ++kept;
    }
    file.resize(kept);
    rename_apart(file, std::move(ids_there), std::move(ids_here), ledger.size(), id_of);
    return file;
}

} // namespace lotwort
