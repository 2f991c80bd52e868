#include "new_movements.hpp"
#include "record_writer.hpp"
#include <fmt/format.h>
#include <unordered_map>
#include <unordered_set>

namespace lotwort {

namespace {

using ById = std::unordered_map<std::string_view, const Movement*>;

ById by_id(const std::vector<Movement>& movements) {
    ById found;
    found.reserve(movements.size());
    for (const Movement& movement : movements)
        if (movement.id) found[*movement.id] = &movement;
    return found;
}

// All that a movement says, its own id left out.
std::string content(const Movement& movement) {
    Movement bare = movement;
    bare.id.reset();
    bare.reverses.reset();
    JsonWriter w(0);
    write_record(w, bare);
    return std::move(w).text();
}

const Movement* find(const ById& movements, const std::string& id) {
    const auto found = movements.find(id);
    return found == movements.end() ? nullptr : found->second;
}

// ... and in place of the id it reverses, the movement that stands for.
std::string content(const Movement& movement, const ById& own, const ById& elsewhere) {
    std::string text = content(movement);
    if (!movement.reverses) return text;
    const Movement* reversed = find(own, *movement.reverses);
    if (reversed == nullptr) reversed = find(elsewhere, *movement.reverses);
    return text + "reverses " + (reversed != nullptr ? content(*reversed) : *movement.reverses);
}

} // namespace

std::vector<Movement> new_movements(const std::vector<Movement>& file, const std::vector<Movement>& ledger) {
    const ById in_file = by_id(file);
    const ById in_ledger = by_id(ledger);
    std::unordered_map<std::string, std::vector<const Movement*>> there;
    there.reserve(ledger.size());
    for (const Movement& movement : ledger) there[content(movement, in_ledger, in_ledger)].push_back(&movement);

    std::vector<Movement> fresh;
    std::unordered_map<std::string_view, std::string> id_now; // the file's id -> what the ledger will know it by
    std::size_t spare = ledger.size();
    for (const Movement& movement : file) {
        const auto found = there.find(content(movement, in_file, in_ledger));
        if (found != there.end() && !found->second.empty()) {
            const Movement& same = *found->second.back();
            found->second.pop_back();
            if (movement.id && same.id) id_now[*movement.id] = *same.id;
            continue;
        }
        Movement& added = fresh.emplace_back(movement);
        if (!movement.id || !in_ledger.contains(*movement.id)) continue;
        do added.id = fmt::format("m{}", ++spare);
        while (in_ledger.contains(*added.id) || in_file.contains(*added.id));
        id_now[*movement.id] = *added.id;
    }
    for (Movement& movement : fresh) {
        if (!movement.reverses) continue;
        const auto renamed = id_now.find(*movement.reverses);
        if (renamed != id_now.end()) movement.reverses = renamed->second;
    }
    return fresh;
}

} // namespace lotwort
