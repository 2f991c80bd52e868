#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/lot_values.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/purchase_wish.hpp>
#include <lotwort/desk/substitute_request.hpp>

namespace lotwort {

plan::PurchaseWish purchase_wish(const Desk& desk, const Book& book) {
    std::vector<Plan> plans;
    for (const Plan& plan : book.plans)
        if (!plan.cancelled) plans.push_back(plan);
    std::ranges::stable_sort(plans, {}, &Plan::date);
    plan::SubstituteRequest request = substitute_request(desk, book, plans);
    plan::PurchaseWish wish;
    wish.today = desk.today;
    wish.brews = std::move(request.brews);
    wish.items = book.items;
    wish.lots = desk.ledger.lots();
    put_prices(wish.lots, desk.ledger);
    wish.orders = book.orders;
    wish.suppliers = book.suppliers;
    wish.offers = book.offers;
    for (const Plan& plan : plans) {
        const PlanStanding standing = standing_of(plan, book, wish.lots);
        plan::KeptPlan& kept = wish.kept[plan.code];
        kept.reserved = standing.kept.reserved;
        for (const LineShort& line : standing.lacks) kept.lacking.push_back({line.line, line.item, line.by});
    }
    return wish;
}

std::vector<std::string> lacks_in_stock(const Book& book, const plan::DrawnPurchase& drawn,
                                        const plan::PurchasePlan& found) {
    std::map<std::pair<std::string, std::string>, double> free; // by brew and item
    for (const plan::PurchaseUse& use : found.uses) {
        if (!use.supply) continue;
        const plan::PurchaseSupply& supply = drawn.wanted.supplies[*use.supply];
        if (!supply.set_aside && !supply.ordered) free[{drawn.wanted.needs[use.need].brew, supply.item}] += use.amount;
    }
    std::vector<std::string> says;
    for (const auto& [which, units] : free) {
        const auto& [brew, item] = which;
        const Plan* plan = find_plan(book, brew);
        if (plan == nullptr) continue;
        const std::string amount = to_text(drawn.amount_of(item, units));
        says.push_back(plan->adopted ? fmt::format("{} of {} for {} is there and free", amount, item, brew)
                                     : fmt::format("{} of {} for {} is there, and not reserved yet: lotwort plan {} "
                                                   "--move {}",
                                                   amount, item, brew, shell_word(brew), to_iso(plan->date)));
    }
    return says;
}

} // namespace lotwort
