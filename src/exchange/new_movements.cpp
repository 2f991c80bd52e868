#include "new_movements.hpp"
#include "record_writer.hpp"
#include <fmt/format.h>
#include <unordered_map>

namespace lotwort {

namespace {

// A list of movements, with the reversal of each that has one.
class Movements {
public:
    explicit Movements(const std::vector<Movement>& list) : list_(list) {
        for (const Movement& movement : list)
            if (movement.reverses) answer_to_[*movement.reverses] = &movement;
        for (const Movement& movement : list)
            if (movement.id) by_id_[*movement.id] = &movement;
    }

    [[nodiscard]] const std::vector<Movement>& list() const { return list_; }
    [[nodiscard]] bool holds(const std::string& id) const { return by_id_.contains(id); }
    // What takes a movement back; none: it stands.
    [[nodiscard]] const Movement* answer_to(const Movement& movement) const {
        if (!movement.id) return nullptr;
        const auto found = answer_to_.find(*movement.id);
        return found == answer_to_.end() ? nullptr : found->second;
    }

private:
    const std::vector<Movement>& list_;
    std::unordered_map<std::string_view, const Movement*> answer_to_;
    std::unordered_map<std::string_view, const Movement*> by_id_;
};

// All that a movement says, ids left out.
std::string content(const Movement& movement) {
    Movement bare = movement;
    bare.id.reset();
    bare.reverses.reset();
    JsonWriter w(0);
    write_record(w, bare);
    return std::move(w).text();
}

std::string content(const Movement& movement, const Movement* answer) {
    return answer == nullptr ? content(movement) : content(movement) + "taken back by " + content(*answer);
}

// How many movements of each content the ledger holds that none of the file has answered for.
using Left = std::unordered_map<std::string, std::size_t>;

bool take(Left& left, const std::string& what) {
    const auto found = left.find(what);
    if (found == left.end() || found->second == 0) return false;
    --found->second;
    return true;
}

} // namespace

std::vector<Movement> new_movements(const std::vector<Movement>& file, const std::vector<Movement>& ledger,
                                    std::string_view source, std::vector<std::string>& conflicts) {
    const Movements here(file);
    const Movements there(ledger);
    Left left;
    left.reserve(ledger.size());
    for (const Movement& movement : ledger)
        if (!movement.reverses) ++left[content(movement, there.answer_to(movement))];

    std::vector<const Movement*> fresh;
    std::unordered_map<std::string_view, std::string> id_of; // of the fresh ones, in the ledger
    std::size_t spare = ledger.size();
    for (const Movement& movement : file) {
        if (movement.reverses || take(left, content(movement, here.answer_to(movement)))) continue;
        fresh.push_back(&movement);
        if (movement.id) id_of[*movement.id] = *movement.id;
    }
    for (const Movement* movement : fresh)
        if (here.answer_to(*movement) != nullptr && take(left, content(*movement)))
            conflicts.push_back(
                fmt::format("{}: movement {} of {}: taken back in the file, but it stands in the ledger", source,
                            *movement->id, to_iso(movement->on)));

    std::vector<Movement> part;
    for (const Movement& movement : file) {
        const bool is_new =
            movement.reverses ? id_of.contains(*movement.reverses) : std::ranges::binary_search(fresh, &movement);
        if (is_new) part.push_back(movement);
    }
    for (Movement& movement : part) {
        if (!movement.id || !there.holds(*movement.id)) continue;
        std::string id;
        do id = fmt::format("m{}", ++spare);
        while (there.holds(id) || here.holds(id));
        if (!movement.reverses) id_of[*movement.id] = id;
        movement.id = id;
    }
    for (Movement& movement : part)
        if (movement.reverses) movement.reverses = id_of.at(*movement.reverses);
    return part;
}

} // namespace lotwort
