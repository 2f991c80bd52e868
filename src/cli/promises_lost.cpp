#include "promises_lost.hpp"
#include <fmt/format.h>
#include <lotwort/brew/promises.hpp>

namespace lotwort::cli {

// A substitution has its own measure: drawn up anew, it would be forgotten.
std::string planned_again(const Plan& plan, Date today) {
    if (plan.date < today) return fmt::format("lotwort plan {} --move DATE", plan.code);
    if (plan.adopted) return fmt::format("lotwort substitute {}", plan.code);
    return fmt::format("lotwort plan {} --move {}", plan.code, to_iso(plan.date));
}

std::vector<report::LostPlan> promises_lost(Call& call, const Book& part) {
    const std::vector<Plan> open = call.ledger().definitions().plans;
    if (open.empty()) return {};
    std::vector<report::LostPlan> lost;
    for (LostPromise& promise : lost_promises(open, call.ledger().lots(), part))
        lost.push_back({promise.plan.code, promise.plan.date, std::move(promise.lost),
                        planned_again(promise.plan, call.surroundings.today)});
    return lost;
}

} // namespace lotwort::cli
