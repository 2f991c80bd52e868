#include "cards.hpp"
#include <algorithm>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/plan/purchase_cost.hpp>

namespace lotwort::plan {

namespace {

// Money of a unit of a supply; none where nobody stated a price.
std::optional<double> unit_cost(const PurchaseWish& wish, const DrawnPurchase& drawn, std::size_t supply) {
    const PurchaseSupply& there = drawn.wanted.supplies[supply];
    if (const std::size_t o = drawn.orders[supply]; o != DrawnPurchase::no_order) {
        const Order& order = wish.orders[o];
        double money = 0.0, amount = 0.0;
        for (const OrderLine& line : order.lines) {
            if (line.item != there.item) continue;
            money += in_units(line.cost);
            if (const auto pack = pack_of(line)) amount += in_unit(*pack) * line.packs;
        }
        return amount > 0.0 ? std::optional(money / amount) : std::nullopt;
    }
    for (const LotState& state : wish.lots) {
        if (state.lot.code != there.name || !state.lot.price) continue;
        const double units = in_unit(state.lot.received_amount);
        if (units > 0.0) return in_units(*state.lot.price) / units;
    }
    return std::nullopt;
}

} // namespace

std::vector<BrewPurchaseCost> cost_by_brew(const PurchaseWish& wish, const DrawnPurchase& drawn,
                                           const PurchasePlan& plan) {
    std::vector<BrewPurchaseCost> costs;
    const auto of = [&](const PurchaseNeed& need) -> BrewPurchaseCost& {
        const auto found = std::ranges::find(costs, need.brew, &BrewPurchaseCost::brew);
        return found != costs.end() ? *found : costs.emplace_back(BrewPurchaseCost{need.brew, need.day});
    };
    const auto money_of = [&](const PurchaseUse& use) {
        const PurchaseLine& line = plan.orders[*use.order].lines[*use.line];
        return use.amount * line.price / drawn.wanted.offers[line.offer].pack;
    };
    std::vector<double> used(plan.orders.size(), 0.0);
    for (const PurchaseUse& use : plan.uses)
        if (use.order) used[*use.order] += money_of(use);
    for (const PurchaseUse& use : plan.uses) {
        BrewPurchaseCost& cost = of(drawn.wanted.needs[use.need]);
        if (use.supply) {
            const auto each = unit_cost(wish, drawn, *use.supply);
            cost.from_stock += use.amount * each.value_or(0.0);
            cost.unpriced = cost.unpriced || !each;
            continue;
        }
        const double money = money_of(use);
        cost.bought += money;
        if (used[*use.order] > 0.0) cost.delivery += plan.orders[*use.order].delivery * money / used[*use.order];
    }
    std::ranges::stable_sort(costs, {}, &BrewPurchaseCost::date);
    return costs;
}

std::vector<PackChange> pack_changes(const PurchaseCase& wanted, const PurchasePlan& plan, const MipOptions& limits) {
    std::map<std::size_t, int> packs;
    for (const PurchaseOrderPlan& order : plan.orders)
        for (const PurchaseLine& line : order.lines) packs[line.offer] += line.packs;
    std::vector<PackChange> changes;
    MipOptions each = limits; // all changes together take as long as the plan may, or a second each
    each.seconds = std::max(1.0, limits.seconds / std::max(1.0, 2.0 * static_cast<double>(packs.size())));
    for (const auto& [offer, planned] : packs)
        for (const int change : {1, -1}) {
            if (limits.stop != nullptr && limits.stop->load()) return changes;
            PurchaseCase other = wanted;
            other.packs_between[offer] = change > 0 ? std::pair(planned + 1, 1'000'000) : std::pair(0, planned - 1);
            const PurchasePlan best = plan_purchases(other, each);
            if (!best.found && (change > 0 || limits.seconds < no_limit)) continue;
            PackChange made{offer, planned, change, {}};
            double late = 0.0, late_before = 0.0;
            for (const PurchaseLate& l : best.late) late += l.amount_short;
            for (const PurchaseLate& l : plan.late) late_before += l.amount_short;
            const bool worse = !best.found || late > late_before + 1e-6 || (best.below_safety && !plan.below_safety);
            if (!worse) made.costs = best.total_cost - plan.total_cost;
            changes.push_back(made);
        }
    return changes;
}

} // namespace lotwort::plan
