#include <fmt/format.h>
#include <lotwort/brew/promises.hpp>
#include <lotwort/desk/promises_lost.hpp>

namespace lotwort {

std::string planned_again(const Plan& plan, Date today) {
    if (plan.date < today) return fmt::format("lotwort plan {} --move DATE", plan.code);
    return fmt::format("lotwort plan {} --move {}", plan.code, to_iso(plan.date));
}

std::vector<report::LostPlan> promises_lost(const Desk& desk, const Book& part) {
    const std::vector<Plan> open = desk.ledger.definitions().plans;
    if (open.empty()) return {};
    std::vector<report::LostPlan> lost;
    for (LostPromise& promise : lost_promises(open, desk.ledger.lots(), part))
        lost.push_back(
            {promise.plan.code, promise.plan.date, std::move(promise.lost), planned_again(promise.plan, desk.today)});
    return lost;
}

} // namespace lotwort
