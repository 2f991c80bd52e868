#include <algorithm>
#include <fmt/format.h>
#include <lotwort/brew/plan_lacks.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/promises_lost.hpp>

namespace lotwort {

std::string planned_again(const Plan& plan, Date today) {
    if (plan.date < today) return fmt::format("lotwort plan {} --move DATE", plan.code);
    return fmt::format("lotwort plan {} --move {}", plan.code, to_iso(plan.date));
}

std::vector<report::LostPlan> promises_lost(const Desk& desk, const Book& part) {
    const Book before = desk.ledger.definitions();
    if (before.plans.empty()) return {};
    const std::vector<LotState> lots = desk.ledger.lots();
    const std::vector<PlanLack> lacks = plan_lacks(once_booked(before, part), once_booked(lots, part));
    std::vector<report::LostPlan> lost;
    for (LostPromise& promise : lost_promises(before.plans, lots, part))
        // what is free takes the place of what is gone (plans_kept.hpp)
        if (std::ranges::any_of(
                lacks, [&](const PlanLack& lack) { return lack.plan == promise.plan.code && lack.missing.units > 0; }))
            lost.push_back({promise.plan.code, promise.plan.date, std::move(promise.lost),
                            "lotwort substitute " + shell_word(promise.plan.code)});
    return lost;
}

} // namespace lotwort
