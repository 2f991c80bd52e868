#include <algorithm>
#include <lotwort/brew/promises.hpp>
#include <map>

namespace lotwort {

namespace {

LotState* find(std::vector<LotState>& lots, const std::string& code) {
    const auto found = std::ranges::find(lots, code, [](const LotState& s) { return s.lot.code; });
    return found != lots.end() ? &*found : nullptr;
}

void change(std::vector<LotState>& lots, const std::string& code, Amount by) {
    LotState* state = find(lots, code);
    if (state != nullptr && state->on_hand.measure == by.measure) state->on_hand = state->on_hand + by;
}

std::map<std::string, std::int64_t> by_lot(const Plan& plan) {
    std::map<std::string, std::int64_t> sums;
    for (const Reservation& reservation : plan.reserved) sums[reservation.lot] += reservation.amount.units;
    return sums;
}

bool is_done_with(const Plan& plan, const Book& part) {
    return std::ranges::any_of(part.brews, [&](const Brew& brew) { return brew.plan == plan.code; }) ||
           std::ranges::any_of(part.plans, [&](const Plan& anew) { return anew.code == plan.code; });
}

} // namespace

std::vector<Plan> kept_promises(const std::vector<Plan>& plans, const std::vector<LotState>& lots) {
    std::map<std::string, std::int64_t> left;
    for (const LotState& state : lots) left[state.lot.code] = state.lot.held ? 0 : state.on_hand.units;
    std::vector<Plan> kept = plans;
    std::ranges::stable_sort(kept, {}, &Plan::date);
    for (Plan& plan : kept) {
        if (plan.cancelled) plan.reserved.clear();
        for (Reservation& reservation : plan.reserved) {
            std::int64_t& there = left[reservation.lot];
            reservation.amount.units = std::min(reservation.amount.units, there);
            there -= reservation.amount.units;
        }
        std::erase_if(plan.reserved, [](const Reservation& reservation) { return reservation.amount.units <= 0; });
    }
    return kept;
}

std::vector<LotState> once_booked(std::vector<LotState> lots, const Book& part) {
    for (const Lot& lot : part.lots) {
        if (LotState* known = find(lots, lot.code)) {
            known->lot.held = lot.held;
            continue;
        }
        for (const Portion& source : lot.made_from) change(lots, source.lot, -source.amount);
        lots.push_back({lot, lot.received_amount, {lot.received_amount.measure, 0}});
    }
    for (const Brew& brew : part.brews) {
        for (const Addition& addition : brew.additions) change(lots, addition.lot, -addition.amount);
        for (const Unused& unused : brew.unused) change(lots, unused.lot, unused.amount);
    }
    for (const Movement& movement : part.movements) change(lots, movement.lot, movement.change);
    return lots;
}

std::vector<LostPromise> lost_promises(const std::vector<Plan>& open, const std::vector<LotState>& lots,
                                       const Book& part) {
    std::vector<Plan> plans = open;
    std::ranges::stable_sort(plans, {}, &Plan::date);
    std::vector<Plan> others = plans;
    std::erase_if(others, [&](const Plan& plan) { return is_done_with(plan, part); });
    const std::vector<Plan> before = kept_promises(plans, lots);
    const std::vector<Plan> after = kept_promises(others, once_booked(lots, part));
    std::vector<LostPromise> all;
    std::size_t at = 0;
    for (std::size_t i = 0; i < before.size() && at < after.size(); ++i) {
        if (before[i].code != after[at].code) continue;
        const auto had = by_lot(before[i]);
        auto has = by_lot(after[at++]);
        LostPromise lost{plans[i], {}};
        for (const auto& [lot, units] : had)
            if (has[lot] < units) {
                const auto of = std::ranges::find(before[i].reserved, lot, &Reservation::lot);
                lost.lost.push_back({lot, {of->amount.measure, units - has[lot]}});
            }
        if (!lost.lost.empty()) all.push_back(std::move(lost));
    }
    return all;
}

} // namespace lotwort
