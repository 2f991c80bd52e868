#include <algorithm>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/use_ids.hpp>
#include <map>
#include <set>

namespace lotwort {

namespace {

// What went from the lot into the brew and was not taken back, as it was booked.
std::vector<Movement> uses_of(const Ledger& ledger, const std::string& lot, const std::string& brew) {
    std::vector<Movement> movements = ledger.movements(lot);
    std::set<std::string> taken_back;
    for (const Movement& movement : movements)
        if (movement.reverses) taken_back.insert(*movement.reverses);
    std::erase_if(movements, [&](const Movement& m) {
        return m.kind != MovementKind::brew || m.brew != brew || taken_back.contains(*m.id);
    });
    return movements;
}

} // namespace

std::vector<std::string> use_ids(const Ledger& ledger, const Brew& brew) {
    std::map<std::string, std::vector<Movement>> unmatched;
    std::vector<std::string> ids;
    for (const Addition& addition : brew.additions) {
        const auto [at, is_new] = unmatched.try_emplace(addition.lot);
        auto& uses = at->second;
        if (is_new) uses = uses_of(ledger, addition.lot, brew.code);
        // equal ones stand in the same order in both
        const auto use = std::ranges::find_if(uses, [&](const Movement& m) {
            return m.on == addition.on.value_or(brew.date) && m.stage == addition.stage &&
                   m.minutes == addition.minutes && m.change == -addition.amount;
        });
        LOTWORT_CHECK(use != uses.end());
        ids.push_back(*use->id);
        uses.erase(use);
    }
    return ids;
}

} // namespace lotwort
