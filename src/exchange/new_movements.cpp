#include "new_movements.hpp"
#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <functional>
#include <optional>

namespace lotwort {

namespace {

std::string_view said(const std::optional<std::string>& text) {
    return text ? std::string_view(*text) : std::string_view(); // an empty text says nothing
}

bool says_the_same(const Movement* a, const Movement* b) {
    if (a == nullptr || b == nullptr) return a == b;
    return a->on == b->on && a->lot == b->lot && a->kind == b->kind && a->change == b->change &&
           said(a->reason) == said(b->reason) && said(a->brew) == said(b->brew) && a->stage == b->stage &&
           a->minutes == b->minutes;
}

// The number of m1, m2, ...; 0: another id.
std::size_t number_of(std::string_view id) {
    constexpr std::size_t most_digits = 8;
    if (id.size() < 2 || id.size() > 1 + most_digits || id[0] != 'm' || id[1] == '0') return 0;
    std::size_t number = 0;
    const auto [end, fault] = std::from_chars(id.data() + 1, id.data() + id.size(), number);
    return fault == std::errc() && end == id.data() + id.size() ? number : 0;
}

// Ids that the ledger uses become others; reversals follow.
void rename_apart(std::vector<Movement>& part, const MovementsThere& there, const TakenIds& here,
                  std::unordered_map<std::string, std::string>& id_of) {
    std::size_t spare = there.count();
    for (Movement& movement : part) {
        if (!movement.id || !there.uses(*movement.id)) continue;
        std::string id;
        do id = fmt::format("m{}", ++spare);
        while (there.uses(id) || here.holds(id));
        if (const auto original = id_of.find(*movement.id); original != id_of.end() && !movement.reverses)
            original->second = id;
        movement.id = std::move(id);
    }
    for (Movement& movement : part)
        if (movement.reverses) movement.reverses = id_of.at(*movement.reverses);
}

} // namespace

Answers::Answers(const std::vector<Movement>& list) {
    for (const Movement& movement : list)
        if (movement.reverses) to_[*movement.reverses] = &movement;
}

const Movement* Answers::to(const Movement& movement) const {
    if (!movement.id || to_.empty()) return nullptr;
    const auto found = to_.find(*movement.id);
    return found == to_.end() ? nullptr : found->second;
}

bool Alike::operator()(const Told& a, const Told& b) const {
    return says_the_same(a.movement, b.movement) && says_the_same(a.answer, b.answer);
}

std::size_t HashOfTold::operator()(const Told& told) const {
    const Movement& movement = *told.movement;
    std::size_t hash = std::hash<std::string_view>{}(movement.lot);
    for (const std::size_t part :
         {std::hash<std::int64_t>{}(movement.change.units),
          static_cast<std::size_t>(movement.on.time_since_epoch().count()), std::size_t(movement.kind),
          std::hash<std::string_view>{}(said(movement.reason)), std::size_t(told.answer != nullptr)})
        hash = (hash ^ part) * 0x9E3779B97F4A7C15U ^ hash >> 29U;
    return hash;
}

void TakenIds::add(std::string_view id) {
    const std::size_t number = number_of(id);
    if (number == 0) {
        others_.emplace(id);
        return;
    }
    if (number >= counted_.size()) counted_.resize(std::max(number + 1, 2 * counted_.size()));
    counted_[number] = true;
}

bool TakenIds::holds(std::string_view id) const {
    const std::size_t number = number_of(id);
    return number == 0 ? others_.contains(std::string(id)) : number < counted_.size() && counted_[number];
}

void MovementsThere::add(const Movement& movement) {
    if (count_++ == 0)
        for (const Movement& asked : file_) {
            if (asked.reverses) continue;
            const Movement* answer = answers_.to(asked);
            left_.try_emplace({&asked, answer}, 0);
            if (answer != nullptr) left_.try_emplace({&asked, nullptr}, 0);
        }
    if (movement.id) ids_.add(*movement.id);
    if (!day_.empty() && (day_.front().on != movement.on || day_.front().lot != movement.lot)) close_day();
    day_.push_back(movement);
}

void MovementsThere::close_day() {
    const Answers answers(day_);
    for (const Movement& movement : day_) {
        if (movement.reverses) continue;
        if (const auto asked = left_.find({&movement, answers.to(movement)}); asked != left_.end()) ++asked->second;
    }
    day_.clear();
}

bool MovementsThere::match(const Movement& movement, const Movement* answer) {
    if (count_ == 0) return false;
    const auto found = left_.find({&movement, answer});
    if (found == left_.end() || found->second == 0) return false;
    --found->second;
    return true;
}

void keep_new_movements(std::vector<Movement>& file, MovementsThere& there, std::string_view source,
                        std::vector<std::string>& conflicts) {
    const Answers& answers = there.answers();
    std::vector<bool> fresh(file.size());
    std::unordered_map<std::string, std::string> id_of; // in the ledger, of the fresh ones that are taken back
    for (std::size_t i = 0; i < file.size(); ++i) {
        const Movement* answer = answers.to(file[i]);
        if (file[i].reverses || there.match(file[i], answer)) continue;
        fresh[i] = true;
        if (answer != nullptr) id_of[*file[i].id] = *file[i].id;
    }
    for (std::size_t i = 0; i < file.size(); ++i)
        if (fresh[i] && answers.to(file[i]) != nullptr && there.match(file[i], nullptr))
            conflicts.push_back(
                fmt::format("{}: movement {} of {}: taken back in the file, but it stands in the ledger", source,
                            *file[i].id, to_iso(file[i].on)));
    for (std::size_t i = 0; i < file.size(); ++i)
        if (file[i].reverses) fresh[i] = id_of.contains(*file[i].reverses);

    TakenIds here;
    if (there.count() > 0)
        for (const Movement& movement : file)
            if (movement.id) here.add(*movement.id);
    // from here on nothing looks into the list as it was
    std::size_t kept = 0;
    for (std::size_t i = 0; i < file.size(); ++i) {
        if (!fresh[i]) continue;
        if (kept != i) file[kept] = std::move(file[i]);
        ++kept;
    }
    file.resize(kept);
    rename_apart(file, there, here, id_of);
}

} // namespace lotwort
