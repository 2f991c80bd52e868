#include <algorithm>
#include <fmt/ranges.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/later_use.hpp>
#include <lotwort/desk/lot_values.hpp>
#include <lotwort/desk/plan_request.hpp>
#include <lotwort/desk/purchase_wish.hpp>
#include <lotwort/desk/substitute_request.hpp>
#include <lotwort/stock/item_figures.hpp>
#include <lotwort/stock/supplier_terms.hpp>
#include <lotwort/stock/whole_grams.hpp>

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
    wish.lots = desk.ledger.lots();
    wish.items = items_as_known(book.items, wish.lots, desk.today);
    put_prices(wish.lots, desk.ledger);
    wish.orders = book.orders;
    wish.suppliers = suppliers_with_terms(book.suppliers, book.offers);
    wish.offers = book.offers;
    for (const Plan& plan : plans) {
        const PlanStanding standing = standing_of(plan, book, wish.lots);
        plan::KeptPlan& kept = wish.kept[plan.code];
        kept.reserved = standing.kept.reserved;
        for (const LineShort& line : standing.lacks) kept.lacking.push_back({line.line, line.item, line.by});
    }
    wish.buffer_days = 1;
    foresee_use(desk, wish);
    return wish;
}

namespace {

bool asks_for(const Recipe& recipe, const std::string& item) {
    const auto is_it = [&](const auto& line) { return line.item == item; };
    return std::ranges::any_of(recipe.grist, is_it) || std::ranges::any_of(recipe.hops, is_it) ||
           std::ranges::any_of(recipe.others, is_it);
}

using ByBrewAndItem = std::map<std::pair<std::string, std::string>, Amount>;

void add(ByBrewAndItem& sums, const std::string& brew, const std::string& item, Amount amount) {
    const auto [at, is_new] = sums.emplace(std::pair(brew, item), amount);
    if (!is_new) at->second = at->second + amount;
}

// As stock and plan tell it, whatever the orders that were found take of the store and what of a delivery.
ByBrewAndItem free_for(const Book& book, const plan::PurchaseWish& wish, const plan::DrawnPurchase& drawn,
                       const plan::PurchasePlan& found) {
    ByBrewAndItem free, in_place;
    for (const PlanLack& lack : plan_lacks(book, wish.lots))
        if (lack.free.units > 0 &&
            std::ranges::find(drawn.wanted.needs, lack.plan, &plan::PurchaseNeed::brew) != drawn.wanted.needs.end())
            add(free, lack.plan, lack.line.item, lack.free);
    for (const plan::PurchaseUse& use : found.uses) {
        if (!use.supply) continue;
        const plan::PurchaseSupply& supply = drawn.wanted.supplies[*use.supply];
        if (!supply.set_aside && !supply.ordered)
            add(in_place, drawn.wanted.needs[use.need].brew, supply.item, drawn.amount_of(supply.item, use.amount));
    }
    free.merge(in_place); // a stand-in is told by the search alone
    return free;
}

} // namespace

std::vector<std::string> lacks_in_stock(const Book& book, const plan::PurchaseWish& wish,
                                        const plan::DrawnPurchase& drawn, const plan::PurchasePlan& found) {
    std::vector<std::string> says;
    std::vector<std::pair<const Plan*, std::vector<std::string>>> there; // by plan, in order
    for (const auto& [which, amount] : free_for(book, wish, drawn, found)) {
        const auto& [brew, item] = which;
        const Plan* plan = find_plan(book, brew);
        if (plan == nullptr) continue;
        if (!asks_for(known_recipe(book, plan->recipe), item)) {
            says.push_back(fmt::format("{} of {} may stand in for what {} lacks, and is there: lotwort substitute {}",
                                       to_text(to_the_gram(amount)), item, brew, shell_word(brew)));
            continue;
        }
        if (there.empty() || there.back().first != plan) there.push_back({plan, {}});
        there.back().second.push_back(fmt::format("{} of {}", to_text(amount), item));
    }
    for (const auto& [plan, amounts] : there)
        says.push_back(fmt::format("{} for {} is there, and not reserved yet: lotwort plan {} --move {}",
                                   fmt::join(amounts, ", "), plan->code, shell_word(plan->code), to_iso(plan->date)));
    return says;
}

} // namespace lotwort
