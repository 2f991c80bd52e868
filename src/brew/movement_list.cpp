#include <algorithm>
#include <lotwort/brew/movement_list.hpp>
#include <string>
#include <unordered_map>

namespace lotwort {

namespace {

bool has_id(const Movement& movement) {
    return movement.id && !movement.id->empty();
}

// Whether each id comes after the one before, a shorter one before a longer, so that none stands twice.
bool ids_rise(const MovementList& list) {
    std::string before;
    bool rise = true;
    list.for_each([&](const Movement& movement, std::uint64_t /*place*/) {
        if (!rise || !has_id(movement)) return;
        const std::string& id = *movement.id;
        rise = id.size() > before.size() || (id.size() == before.size() && id > before);
        before = id;
    });
    return rise;
}

// The hashes that more than one id has.
std::vector<std::size_t> doubtful_hashes(const MovementList& list) {
    std::vector<std::size_t> hashes;
    hashes.reserve(list.size());
    list.for_each([&](const Movement& movement, std::uint64_t /*place*/) {
        if (has_id(movement)) hashes.push_back(std::hash<std::string>{}(*movement.id));
    });
    std::sort(hashes.begin(), hashes.end());
    std::size_t kept = 0;
    for (std::size_t i = 1; i < hashes.size(); ++i) {
        const std::size_t hash = hashes[i];
        if (hash == hashes[i - 1] && (kept == 0 || hashes[kept - 1] != hash)) hashes[kept++] = hash;
    }
    hashes.resize(kept);
    return hashes;
}

} // namespace

void HeldMovements::for_each(const Take& take) const {
    for (std::size_t i = 0; i < list_.size(); ++i) take(list_[i], i);
}

void for_each_double_id(const MovementList& list, const std::function<void(const DoubleId&)>& take) {
    if (ids_rise(list)) return;
    const auto doubtful = doubtful_hashes(list);
    if (doubtful.empty()) return;
    std::unordered_map<std::string, std::size_t> first;
    std::size_t index = 0;
    list.for_each([&](const Movement& movement, std::uint64_t place) {
        const std::size_t i = index++;
        if (!has_id(movement)) return;
        if (!std::binary_search(doubtful.begin(), doubtful.end(), std::hash<std::string>{}(*movement.id))) return;
        const auto [known, is_new] = first.try_emplace(*movement.id, i);
        if (!is_new) take({*movement.id, place, i, known->second});
    });
}

} // namespace lotwort
