#include "lots.hpp"
#include "days.hpp"
#include "item_lots.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {

constexpr double shares_counted[] = {0.3, 0.5, 0.65, 0.8, 0.9, 1.0}; // tried out, of what is left

void add_orders(const PurchaseCase& wanted, JointLots& lots) {
    for (const auto& sources : lots.source_of) lots.order_of.emplace_back(sources.size(), -1);
    std::map<std::size_t, LotRef> ref; // by source
    for (std::size_t i = 0; i < lots.source_of.size(); ++i)
        for (std::size_t c = 0; c < lots.source_of[i].size(); ++c) ref[lots.source_of[i][c]] = {i, c};
    for (const PurchaseGroup& group : lots.model.groups) {
        if (!needs_opening(wanted, group)) continue;
        const SupplierTerms& terms = terms_of(wanted, group.supplier);
        LotOrder order{group.supplier, group.delivery, terms.minimum_order, 0.0, {}};
        if (terms.free_from && group.delivery > 0.0) order.free_from = *terms.free_from;
        for (const std::size_t s : group.sources) {
            order.lines.push_back(ref.at(s));
            lots.order_of[ref.at(s).item][ref.at(s).chance] = static_cast<int>(lots.orders.size());
        }
        lots.orders.push_back(std::move(order));
    }
}

// Can its uses be met, with all orders open?
bool can_be_met(const LotItem& item) {
    return std::isfinite(LotSizer().solve(item, std::vector<ChanceTerms>(item.chances.size())).cost);
}

// Of two that cost no more than any plan, the one that costs more: nearer to the truth.
LotItem dearer(LotItem a, LotItem b) {
    LotSizer sizer;
    const std::vector<ChanceTerms> alone(a.chances.size());
    return sizer.solve(a, alone).cost >= sizer.solve(b, alone).cost ? std::move(a) : std::move(b);
}

} // namespace

JointLots joint_lots(const PurchaseCase& wanted, LotsFor what) {
    JointLots lots;
    add_purchase_sources(wanted, lots.model, nullptr);
    std::set<std::string> names;
    for (const PurchaseNeed& need : wanted.needs) names.insert(need.item);
    for (const PurchaseSource& source : lots.model.sources)
        if (!source.supply) names.insert(source.item);
    for (const std::string& name : names) {
        const bool careful = what == LotsFor::search || what == LotsFor::packs;
        MadeItem made = make_item(wanted, lots.model, name, what, {.before_spoilt = careful});
        if (careful && !can_be_met(made.item)) made = make_item(wanted, lots.model, name, what);
        lots.ages = lots.ages || made.ages;
        if (!careful && wanted.most_left.contains(name))
            for (const double share : shares_counted)
                made.item =
                    dearer(std::move(made.item), make_item(wanted, lots.model, name, what, {.left = share}).item);
        lots.items.push_back(std::move(made.item));
        lots.source_of.push_back(std::move(made.sources));
    }
    add_orders(wanted, lots);
    return lots;
}

bool has_lots(const PurchaseCase& wanted) {
    return wanted.packs_between.empty() && wanted.blends.empty() &&
           std::ranges::all_of(wanted.needs, [](const PurchaseNeed& need) { return need.alternatives.empty(); });
}

} // namespace lotwort::plan
