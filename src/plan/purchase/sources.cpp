#include "days.hpp"
#include "model.hpp"
#include "order_days.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {

constexpr std::chrono::days one{1};

void add_supply(const PurchaseCase& wanted, std::size_t i, PurchaseModel& out) {
    const PurchaseSupply& supply = wanted.supplies[i];
    PurchaseSource made;
    made.supply = i;
    made.item = supply.item;
    made.from = std::max(supply.from, wanted.today);
    if (supply.last) made.spoilt = *supply.last + one;
    made.amount = supply.amount;
    made.set_aside = supply.set_aside;
    if (made.amount > 0.0) out.sources.push_back(std::move(made));
}

// The days on which a supplier's orders are looked at, each with what can be ordered then.
void add_groups(const PurchaseCase& wanted, PurchaseModel& out, const OrderDays* only) {
    std::set<std::string> suppliers;
    for (const PurchaseOffer& offer : wanted.offers) suppliers.insert(offer.supplier);
    std::map<std::string, OfferDays> days;
    for (const std::string& supplier : suppliers)
        days[supplier] = order_days(wanted, supplier, only != nullptr && !terms_of(wanted, supplier).delivery_known);
    for (const auto& [supplier, on] : days)
        for (const auto& [day, offers] : on) {
            PurchaseGroup group{supplier, day};
            const SupplierTerms& terms = terms_of(wanted, supplier);
            const auto special = terms.delivery_on.find(day);
            group.delivery = special != terms.delivery_on.end() ? special->second : terms.delivery;
            for (const auto& [o, arrives] : offers) {
                const PurchaseOffer& offer = wanted.offers[o];
                if (only != nullptr && !only->contains({o, day})) continue;
                PurchaseSource made{.offer = o, .group = out.groups.size(), .item = offer.item, .from = arrives};
                made.spoilt = spoilt_from(wanted, offer, arrives);
                made.value_share = share_left(wanted, offer, arrives);
                const bool useful = std::ranges::any_of(wanted.needs, [&](const auto& need) {
                    return serves(made, need) || (need.safety > 0.0 && is_there_after(made, need));
                });
                // what nobody needs may still fill an order up to its minimum or to free delivery
                const bool fills = (terms.free_from || terms.minimum_order > 0.0) && arrives <= wanted.until;
                if (!useful && !fills) continue;
                group.sources.push_back(out.sources.size());
                out.sources.push_back(std::move(made));
            }
            if (!group.sources.empty()) out.groups.push_back(std::move(group));
        }
}

} // namespace

bool is_there_after(const PurchaseSource& source, const PurchaseNeed& need) {
    return need.item == source.item && source.from <= need.day && (!source.spoilt || need.day < *source.spoilt);
}

bool serves_item(const PurchaseNeed& need, const std::string& item) {
    return need.item == item ||
           std::ranges::any_of(need.alternatives, [&](const Alternative& a) { return a.item == item; });
}

bool serves(const PurchaseSource& source, const PurchaseNeed& need) {
    if (need.set_aside || source.set_aside) return need.set_aside && source.supply == need.set_aside;
    return serves_item(need, source.item) && source.from <= need.day && (!source.spoilt || need.day < *source.spoilt);
}

void add_purchase_sources(const PurchaseCase& wanted, PurchaseModel& out, const OrderDays* only) {
    for (std::size_t i = 0; i < wanted.supplies.size(); ++i) add_supply(wanted, i, out);
    add_groups(wanted, out, only);
}

bool needs_opening(const PurchaseCase& wanted, const PurchaseGroup& group) {
    return group.delivery > 0.0 || terms_of(wanted, group.supplier).minimum_order > 0.0;
}

// No more packs are worth buying than could be used or kept for safety, unless the last price step, the supplier's
// minimum or free delivery asks for more.
int most_packs(const PurchaseCase& wanted, const PurchaseSource& source) {
    const PurchaseOffer& offer = wanted.offers[source.offer];
    const SupplierTerms& terms = terms_of(wanted, offer.supplier);
    double useful = 0.0, safety = 0.0;
    for (const PurchaseNeed& need : wanted.needs) {
        if (is_there_after(source, need)) safety = std::max(safety, need.safety);
        if (!serves(source, need)) continue;
        const double each = counts(wanted, source, need);
        if (each > 0.0) useful += need.amount / each;
    }
    const double price = offer.steps.back().price;
    double packs = std::max((useful + safety) / offer.pack, static_cast<double>(offer.steps.back().packs));
    if (price > 0.0) packs = std::max({packs, terms.minimum_order / price, terms.free_from.value_or(0.0) / price});
    if (const auto asked = wanted.packs_between.find(source.offer); asked != wanted.packs_between.end())
        packs = std::max(packs, static_cast<double>(asked->second.first));
    return static_cast<int>(std::min(1e6, std::ceil(packs - 1e-9)));
}

double counts(const PurchaseCase& wanted, const PurchaseSource& source, const PurchaseNeed& need) {
    if (need.item == source.item && need.by_mass) return 1.0;
    const Worth& worth = source.supply ? wanted.supplies[*source.supply].worth : wanted.offers[source.offer].worth;
    const Date arrived = source.supply ? wanted.supplies[*source.supply].from : source.from;
    double each = worth ? worth(arrived, need.day) : 1.0;
    if (need.item == source.item) return each;
    for (const Alternative& other : need.alternatives)
        if (other.item == source.item) each *= other.factor;
    return each;
}

} // namespace lotwort::plan
