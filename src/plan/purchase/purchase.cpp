#include "afford.hpp"
#include "long.hpp"
#include "lots.hpp"
#include "model.hpp"
#include "parts.hpp"
#include "planner.hpp"
#include <algorithm>
#include <cmath>
#include <numeric>

namespace lotwort::plan {

namespace {

// Orders by day again, and what refers to them.
void sort_orders(PurchasePlan& plan) {
    std::vector<std::size_t> by_day(plan.orders.size()), place(plan.orders.size());
    for (std::size_t i = 0; i < by_day.size(); ++i) by_day[i] = i;
    std::ranges::stable_sort(by_day, {}, [&](std::size_t i) { return plan.orders[i].order_by; });
    std::vector<PurchaseOrderPlan> sorted;
    for (std::size_t i = 0; i < by_day.size(); ++i) {
        place[by_day[i]] = i;
        sorted.push_back(std::move(plan.orders[by_day[i]]));
    }
    plan.orders = std::move(sorted);
    for (PurchaseUse& use : plan.uses)
        if (use.order) use.order = place[*use.order];
    std::ranges::stable_sort(plan.late, {}, &PurchaseLate::date);
}

// What a search tells of one part, with the parts done before. Until the last is looked at there is no whole plan.
std::function<void(const MipProgress&)> told_with(const PurchasePlan& done, bool is_last, const MipOptions& limits) {
    if (!limits.progress) return nullptr;
    return [done_cost = done.total_cost, done_bound = done.bound, is_last, &limits](const MipProgress& now) {
        limits.progress({is_last ? now.best + done_cost : no_limit, now.bound + done_bound, now.nodes});
    };
}

PurchasePlan plan_parts(const PurchaseCase& wanted, const MipOptions& limits) {
    const std::vector<PurchasePart> parts = parts_of(wanted);
    std::vector<double> sizes;
    for (const PurchasePart& part : parts) sizes.push_back(double(count_uses(part.wanted)) + 1.0);
    double size = std::accumulate(sizes.begin(), sizes.end(), 0.0), seconds = limits.seconds;
    // what one part does not need, the next may have: the longest last
    std::vector<std::size_t> by_size(parts.size());
    std::iota(by_size.begin(), by_size.end(), 0);
    std::ranges::stable_sort(by_size, {}, [&](std::size_t i) { return sizes[i]; });
    std::vector<PurchasePlan> plans(parts.size());
    PurchasePlan done;
    double spared = 0.0; // of the gap that parts were allowed: the next may have it
    for (const std::size_t i : by_size) {
        MipOptions part_limits = limits;
        part_limits.absolute_gap = std::max(limits.absolute_gap, spared);
        part_limits.progress = told_with(done, i == by_size.back(), limits);
        part_limits.seconds = seconds * sizes[i] / size;
        plans[i] = plan_part(parts[i].wanted, part_limits);
        size -= sizes[i];
        seconds -= std::min(part_limits.seconds, plans[i].seconds);
        done.total_cost += plans[i].total_cost;
        done.bound += plans[i].bound;
        spared = limits.relative_gap * std::abs(done.total_cost) - (done.total_cost - done.bound);
    }
    PurchasePlan whole;
    whole.found = true;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        whole.seconds += plans[i].seconds;
        whole.found = whole.found && plans[i].found;
        whole.looked_twice = (i == 0 || whole.looked_twice) && plans[i].looked_twice;
        add_part(whole, parts[i], std::move(plans[i]));
    }
    sort_orders(whole);
    whole.gap = (whole.total_cost - whole.bound) / std::max(1.0, std::abs(whole.total_cost));
    const double together = whole.put_together / std::max(1.0, std::abs(whole.total_cost));
    whole.proven_optimal = whole.gap - together <= 0.001 && whole.looked_twice;
    return whole;
}

PurchasePlan plan_to_the_end(const PurchaseCase& wanted, const MipOptions& limits) {
    PurchasePlan plan = plan_parts(wanted, limits);
    // what is late may come after the horizon, which is one for all
    PurchaseCase longer = wanted;
    for (const PurchaseLate& late : plan.late)
        if (late.earliest) longer.until = std::max(longer.until, *late.earliest);
    return longer.until == wanted.until ? plan : plan_parts(longer, limits);
}

} // namespace

PurchasePlan plan_purchases(const PurchaseCase& wanted, const MipOptions& limits) {
    if (!wanted.budget) return plan_to_the_end(wanted, limits);
    // a budget that reaches changes nothing
    PurchaseCase unbound = wanted;
    unbound.budget.reset();
    PurchasePlan plan = plan_to_the_end(unbound, limits);
    if (plan.found && plan.spent() <= *wanted.budget) return plan;
    const bool is_long = has_lots(wanted) && count_uses(wanted) > many_uses;
    return plan_within_budget(wanted, plan, limits, is_long, plan_to_the_end);
}

std::string purchase_mps(const PurchaseCase& wanted) {
    PurchaseCase eased = wanted;
    ease_safety(eased);
    return to_mps(purchase_model(eased, false).mip, "purchase");
}

} // namespace lotwort::plan
