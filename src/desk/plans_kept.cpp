#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/brew/plan_lacks.hpp>
#include <lotwort/brew/promises.hpp>
#include <lotwort/desk/plans_kept.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <map>

namespace lotwort {

namespace {

constexpr std::size_t most_plans_named = 3;

std::vector<std::string> more_in(const Plan& plan, const Plan& than) {
    std::map<std::string, Amount> more;
    const auto add = [&](const Reservation& reservation, int sign) {
        Amount& sum = more.try_emplace(reservation.lot, Amount{reservation.amount.measure, 0}).first->second;
        sum.units += sign * reservation.amount.units;
    };
    for (const Reservation& reservation : plan.reserved) add(reservation, 1);
    for (const Reservation& reservation : than.reserved) add(reservation, -1);
    std::vector<std::string> said;
    for (const auto& [lot, amount] : more)
        if (amount.units > 0) said.push_back(fmt::format("{} of {}", to_text(amount), lot));
    return said;
}

std::string change_said(const Plan& before, const Plan& after) {
    const auto taken = more_in(after, before), gone = more_in(before, after);
    if (taken.empty()) return fmt::format("{} is without {}", after.code, fmt::join(gone, ", "));
    const std::string in_place = gone.empty() ? "" : fmt::format(" in place of {}", fmt::join(gone, ", "));
    return fmt::format("{} takes {}{}", after.code, fmt::join(taken, ", "), in_place);
}

} // namespace

PlansKept plans_kept(const Desk& desk, const Book& part) {
    PlansKept kept;
    const Book before = desk.ledger.definitions();
    if (before.plans.empty() || is_past(desk.ledger, desk.today)) return kept;
    const Book after = once_booked(before, part);
    const std::vector<LotState> lots = desk.ledger.lots();
    const std::vector<LostPromise> lost = lost_promises(before.plans, lots, part);
    std::vector<std::string> said;
    for (Plan& plan : reserved_anew(after, once_booked(lots, part))) {
        const auto stood = std::ranges::find(before.plans, plan.code, &Plan::code);
        const bool is_stated = std::ranges::find(part.plans, plan.code, &Plan::code) != part.plans.end();
        if (is_stated || stood == before.plans.end() || *stood == plan) continue;
        const bool is_told = more_in(plan, *stood).empty() && // as a promise that is lost (promises_lost.hpp)
                             std::ranges::any_of(lost, [&](const LostPromise& p) { return p.plan.code == plan.code; });
        if (stood->reserved != plan.reserved && !is_told) said.push_back(change_said(*stood, plan));
        kept.changed.push_back(std::move(plan));
    }
    if (said.size() > most_plans_named) {
        const std::size_t more = said.size() - most_plans_named;
        said.resize(most_plans_named);
        said.push_back(fmt::format("{} more {} changed", more, more == 1 ? "plan" : "plans"));
    }
    kept.said = fmt::format("{}", fmt::join(said, "; "));
    return kept;
}

} // namespace lotwort
