#include "parts.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {

// Names that were found to belong together lead to one of them.
class Together {
public:
    std::string of(const std::string& name) {
        const auto at = first_.find(name);
        if (at == first_.end() || at->second == name) return name;
        return of(at->second);
    }
    void join(const std::string& a, const std::string& b) { first_[of(a)] = of(b); }

private:
    std::map<std::string, std::string> first_;
};

Together groups_of(const PurchaseCase& wanted) {
    Together groups;
    // a supplier's name may be an item's too
    for (const PurchaseOffer& offer : wanted.offers) groups.join("supplier " + offer.supplier, "item " + offer.item);
    for (const PurchaseNeed& need : wanted.needs)
        for (const Alternative& other : need.alternatives) groups.join("item " + need.item, "item " + other.item);
    for (const BlendRule& rule : wanted.blends)
        for (const std::size_t need : rule.needs)
            groups.join("item " + wanted.needs[need].item, "item " + wanted.needs[rule.needs.front()].item);
    return groups;
}

} // namespace

std::vector<PurchasePart> parts_of(const PurchaseCase& wanted) {
    Together groups = groups_of(wanted);
    std::map<std::string, PurchasePart> parts;
    const bool is_one = wanted.budget || !wanted.blends.empty();
    const auto part_of = [&](const std::string& item) -> PurchasePart& {
        return parts[is_one ? std::string() : groups.of("item " + item)];
    };
    for (std::size_t n = 0; n < wanted.needs.size(); ++n) {
        PurchasePart& part = part_of(wanted.needs[n].item);
        part.needs.push_back(n);
        part.wanted.needs.push_back(wanted.needs[n]);
    }
    for (std::size_t s = 0; s < wanted.supplies.size(); ++s) {
        PurchasePart& part = part_of(wanted.supplies[s].item);
        part.supplies.push_back(s);
        part.wanted.supplies.push_back(wanted.supplies[s]);
    }
    for (auto& [name, part] : parts)
        for (PurchaseNeed& need : part.wanted.needs)
            if (need.set_aside)
                need.set_aside =
                    static_cast<std::size_t>(std::ranges::find(part.supplies, *need.set_aside) - part.supplies.begin());
    for (std::size_t o = 0; o < wanted.offers.size(); ++o) {
        PurchasePart& part = part_of(wanted.offers[o].item);
        if (const auto asked = wanted.packs_between.find(o); asked != wanted.packs_between.end())
            part.wanted.packs_between[part.offers.size()] = asked->second;
        part.offers.push_back(o);
        part.wanted.offers.push_back(wanted.offers[o]);
    }
    std::vector<PurchasePart> all;
    for (auto& [name, part] : parts) {
        part.wanted.today = wanted.today;
        part.wanted.until = wanted.until;
        part.wanted.suppliers = wanted.suppliers;
        part.wanted.holding = wanted.holding;
        part.wanted.most_left = wanted.most_left;
        part.wanted.budget = wanted.budget;
        part.wanted.blends = wanted.blends; // of the one part, whose needs keep their numbers
        all.push_back(std::move(part));
    }
    return all;
}

void add_part(PurchasePlan& whole, const PurchasePart& part, PurchasePlan plan) {
    const std::size_t before = whole.orders.size();
    for (PurchaseOrderPlan& order : plan.orders) {
        for (PurchaseLine& line : order.lines) line.offer = part.offers[line.offer];
        whole.orders.push_back(std::move(order));
    }
    for (PurchaseUse& use : plan.uses) {
        use.need = part.needs[use.need];
        if (use.supply) use.supply = part.supplies[*use.supply];
        if (use.order) use.order = *use.order + before;
        whole.uses.push_back(use);
    }
    whole.late.insert(whole.late.end(), plan.late.begin(), plan.late.end());
    whole.goods += plan.goods;
    whole.deliveries += plan.deliveries;
    whole.holding += plan.holding;
    whole.left_value += plan.left_value;
    whole.total_cost += plan.total_cost;
    whole.put_together += plan.put_together;
    whole.bound += plan.bound;
    whole.nodes += plan.nodes;
    whole.below_safety = whole.below_safety || plan.below_safety;
    whole.safety_short.insert(whole.safety_short.end(), plan.safety_short.begin(), plan.safety_short.end());
}

} // namespace lotwort::plan
