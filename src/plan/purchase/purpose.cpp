#include "days.hpp"
#include <algorithm>
#include <cmath>
#include <functional>
#include <lotwort/plan/purchase_purpose.hpp>
#include <utility>

namespace lotwort::plan {

namespace {

constexpr double crumb = 1e-6; // of a unit

// What of an item is there after a day's uses but for what the plan buys: lots and open orders, also those that are
// kept for later brews.
double there_beside(const PurchaseCase& wanted, const PurchasePlan& plan, const std::string& item, Date day) {
    double sum = 0.0;
    for (std::size_t s = 0; s < wanted.supplies.size(); ++s) {
        const PurchaseSupply& supply = wanted.supplies[s];
        if (supply.item != item || supply.from > day || (supply.last && *supply.last < day)) continue;
        sum += supply.amount;
        for (const PurchaseUse& use : plan.uses)
            if (use.supply == s && wanted.needs[use.need].day <= day) sum -= use.amount;
    }
    return std::max(0.0, sum);
}

double price_of(const PurchaseOffer& offer, int packs) {
    double price = offer.steps.front().price;
    for (const PurchaseStep& step : offer.steps)
        if (packs >= step.packs) price = step.price;
    return price;
}

using ByLine = std::vector<std::vector<double>>; // by order and line of the plan, in the item's unit

// What no brew uses of each line.
ByLine left_of(const PurchaseCase& wanted, const PurchasePlan& plan) {
    ByLine left;
    for (const PurchaseOrderPlan& order : plan.orders) {
        auto& of_order = left.emplace_back();
        for (const PurchaseLine& line : order.lines) of_order.push_back(line.packs * wanted.offers[line.offer].pack);
    }
    for (const PurchaseUse& use : plan.uses)
        if (use.order) left[*use.order][*use.line] -= use.amount;
    return left;
}

// What is counted of an item that is left: the dearest first, as far as a use is foreseen.
double worth_of_left(const PurchaseCase& wanted, const PurchasePlan& plan, const ByLine& left,
                     const std::string& item) {
    std::vector<std::pair<double, double>> heaps; // worth of a unit, and units
    for (std::size_t o = 0; o < left.size(); ++o)
        for (std::size_t l = 0; l < left[o].size(); ++l) {
            const PurchaseLine& line = plan.orders[o].lines[l];
            const PurchaseOffer& offer = wanted.offers[line.offer];
            const int buffer = terms_of(wanted, offer.supplier).buffer_days;
            const Date ready = plan.orders[o].arrives + std::chrono::days(buffer);
            if (offer.item == item && left[o][l] > 0.0)
                heaps.emplace_back(share_left(wanted, offer, ready) * line.price / offer.pack, left[o][l]);
        }
    std::ranges::sort(heaps, std::greater<>());
    const auto most = wanted.most_left.find(item);
    double room = most != wanted.most_left.end() ? most->second : no_limit, worth = 0.0;
    for (const auto& [unit, units] : heaps) {
        worth += unit * std::min(room, units);
        room -= std::min(room, units);
    }
    return worth;
}

// Packs of each line that no brew and no safety stock asks for, by order.
std::vector<std::vector<int>> spare_packs(const PurchaseCase& wanted, const PurchasePlan& plan) {
    ByLine left = left_of(wanted, plan);
    // the safety stock is of what comes last
    for (const PurchasePurpose& purpose : purposes_of(wanted, plan)) {
        double safety = purpose.safety;
        for (std::size_t o = plan.orders.size(); o-- > 0;)
            for (std::size_t l = 0; l < left[o].size(); ++l) {
                if (wanted.offers[plan.orders[o].lines[l].offer].item != purpose.item) continue;
                const double part = std::clamp(left[o][l], 0.0, safety);
                left[o][l] -= part;
                safety -= part;
            }
    }
    std::vector<std::vector<int>> spare;
    for (std::size_t o = 0; o < left.size(); ++o) {
        auto& of_order = spare.emplace_back();
        for (std::size_t l = 0; l < left[o].size(); ++l) {
            const double pack = wanted.offers[plan.orders[o].lines[l].offer].pack;
            of_order.push_back(std::max(0, static_cast<int>(std::floor(left[o][l] / pack + crumb))));
        }
    }
    return spare;
}

// Why the whole order has more than is asked for, if that makes it large enough for something.
std::optional<FilledFor> filled_for(const SupplierTerms& terms, const PurchaseOrderPlan& order, double without) {
    const bool is_free = terms.free_from && terms.delivery > 0.0 && order.delivery <= 0.0;
    if (is_free && order.goods >= *terms.free_from - crumb && without < *terms.free_from - crumb)
        return FilledFor::free_delivery; // which is no less than the minimum
    if (terms.minimum_order > 0.0 && without < terms.minimum_order - crumb) return FilledFor::minimum_order;
    return std::nullopt;
}

} // namespace

std::vector<PurchasePurpose> purposes_of(const PurchaseCase& wanted, const PurchasePlan& plan) {
    std::vector<PurchasePurpose> all;
    for (const PurchaseOrderPlan& order : plan.orders)
        for (const PurchaseLine& line : order.lines) {
            const PurchaseOffer& offer = wanted.offers[line.offer];
            const auto known = std::ranges::find(all, offer.item, &PurchasePurpose::item);
            PurchasePurpose& purpose =
                known != all.end() ? *known : all.emplace_back(PurchasePurpose{.item = offer.item});
            purpose.bought += line.packs * offer.pack;
        }
    for (PurchasePurpose& purpose : all) {
        std::vector<std::pair<Date, std::string>> brews;
        for (const PurchaseUse& use : plan.uses) {
            if (!use.order || wanted.offers[plan.orders[*use.order].lines[*use.line].offer].item != purpose.item)
                continue;
            purpose.for_brews += use.amount;
            const PurchaseNeed& need = wanted.needs[use.need];
            if (std::ranges::find(brews, std::pair(need.day, need.brew)) == brews.end())
                brews.emplace_back(need.day, need.brew);
        }
        std::ranges::sort(brews);
        for (auto& [day, brew] : brews) purpose.brews.push_back(std::move(brew));
        const double rest = std::max(0.0, purpose.bought - purpose.for_brews);
        for (const PurchaseNeed& need : wanted.needs)
            if (need.item == purpose.item && need.safety > 0.0)
                purpose.safety =
                    std::max(purpose.safety, need.safety - there_beside(wanted, plan, need.item, need.day));
        purpose.safety = std::clamp(purpose.safety, 0.0, rest);
        purpose.left = rest - purpose.safety;
    }
    return all;
}

std::vector<PurchaseFill> fills_of(const PurchaseCase& wanted, const PurchasePlan& plan) {
    const auto spare = spare_packs(wanted, plan);
    ByLine left = left_of(wanted, plan);
    std::vector<PurchaseFill> fills;
    for (std::size_t o = 0; o < plan.orders.size(); ++o) {
        const PurchaseOrderPlan& order = plan.orders[o];
        double without = order.goods;
        for (std::size_t l = 0; l < order.lines.size(); ++l) without -= spare[o][l] * order.lines[l].price;
        const SupplierTerms& terms = terms_of(wanted, order.supplier);
        const auto whole = filled_for(terms, order, without);
        double delivery = whole == FilledFor::free_delivery ? terms.delivery : 0.0;
        for (std::size_t l = 0; l < order.lines.size(); ++l) {
            const PurchaseLine& line = order.lines[l];
            if (spare[o][l] == 0) continue;
            const PurchaseOffer& offer = wanted.offers[line.offer];
            const int asked = line.packs - spare[o][l];
            const double dearer = price_of(offer, std::max(1, asked));
            if (!whole && dearer <= line.price + crumb) continue;
            PurchaseFill fill{o, l, spare[o][l], whole.value_or(FilledFor::lower_price)};
            fill.more_now = line.cost - asked * dearer;
            fill.delivery_saved = std::exchange(delivery, 0.0);
            fill.saved_later = worth_of_left(wanted, plan, left, offer.item);
            left[o][l] -= spare[o][l] * offer.pack;
            fill.saved_later -= worth_of_left(wanted, plan, left, offer.item);
            fills.push_back(fill);
        }
    }
    return fills;
}

} // namespace lotwort::plan
