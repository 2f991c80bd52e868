#include <algorithm>
#include <lotwort/brew/promises.hpp>
#include <map>
#include <unordered_map>

namespace lotwort {

namespace {

// Lots by their code: a file may bring a hundred thousand.
class Lots {
public:
    explicit Lots(std::vector<LotState> lots) : lots_(std::move(lots)) {
        for (std::size_t i = 0; i < lots_.size(); ++i) at_.emplace(lots_[i].lot.code, i);
    }
    LotState* find(const std::string& code) {
        const auto found = at_.find(code);
        return found != at_.end() ? &lots_[found->second] : nullptr;
    }
    void add(LotState state) {
        at_.emplace(state.lot.code, lots_.size());
        lots_.push_back(std::move(state));
    }
    void change(const std::string& code, Amount by) {
        LotState* state = find(code);
        if (state != nullptr && state->on_hand.measure == by.measure) state->on_hand = state->on_hand + by;
    }
    std::vector<LotState> all() && { return std::move(lots_); }

private:
    std::vector<LotState> lots_;
    std::unordered_map<std::string, std::size_t> at_;
};

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
        std::map<int, Measure> of_line; // packs or slurry: what it had first
        std::erase_if(plan.reserved, [&](const Reservation& had) {
            return of_line.try_emplace(had.line, had.amount.measure).first->second != had.amount.measure;
        });
        for (Reservation& reservation : plan.reserved) {
            std::int64_t& there = left[reservation.lot];
            reservation.amount.units = std::min(reservation.amount.units, there);
            there -= reservation.amount.units;
        }
        std::erase_if(plan.reserved, [](const Reservation& reservation) { return reservation.amount.units <= 0; });
    }
    return kept;
}

std::vector<LotState> once_booked(std::vector<LotState> before, const Book& part) {
    Lots lots(std::move(before));
    for (const Lot& lot : part.lots) {
        if (LotState* known = lots.find(lot.code)) {
            known->lot.held = lot.held;
            continue;
        }
        for (const Portion& source : lot.made_from) lots.change(source.lot, -source.amount);
        lots.add({lot, lot.received_amount, {lot.received_amount.measure, 0}});
    }
    for (const Brew& brew : part.brews) {
        for (const Addition& addition : brew.additions) lots.change(addition.lot, -addition.amount);
        for (const Unused& unused : brew.unused) lots.change(unused.lot, unused.amount);
    }
    for (const Movement& movement : part.movements) lots.change(movement.lot, movement.change);
    return std::move(lots).all();
}

Book once_booked(Book definitions, const Book& part) {
    const auto restate = [](auto& known, const auto& stated, auto name) {
        for (const auto& record : stated) {
            std::erase_if(known, [&](const auto& before) { return before.*name == record.*name; });
            known.push_back(record);
        }
    };
    restate(definitions.items, part.items, &Item::name);
    restate(definitions.recipes, part.recipes, &Recipe::name);
    restate(definitions.brewhouses, part.brewhouses, &Brewhouse::name);
    restate(definitions.tanks, part.tanks, &Tank::name);
    restate(definitions.orders, part.orders, &Order::code);
    restate(definitions.plans, part.plans, &Plan::code);
    for (const Brew& brew : part.brews)
        for (Plan& plan : definitions.plans)
            if (brew.plan && plan.yeast_of_plan == brew.plan) { // what was planned is brewed
                plan.yeast_of_plan.reset();
                plan.yeast_of_brew = brew.code;
            }
    std::erase_if(definitions.plans, [&](const Plan& plan) {
        return plan.cancelled ||
               std::ranges::any_of(part.brews, [&](const Brew& brew) { return brew.plan == plan.code; });
    });
    return definitions;
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
