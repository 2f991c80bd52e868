#include "safety.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/plan/purchase.hpp>
#include <lotwort/plan/purchase_demand.hpp>

namespace lotwort::plan {

namespace {

constexpr double shared_variance = 0.5; // of a brew's variance, common to all brews: as of a kit that does not state it
constexpr std::size_t often_enough = 3; // days of use from which there is a pace to go by

// Lead time, and the longest wait for the next order day, of the supplier who is quickest.
double exposure_days(const PurchaseCase& wanted, const std::string& item) {
    double best = no_limit;
    for (const PurchaseOffer& offer : wanted.offers) {
        if (offer.item != item) continue;
        const auto terms = std::ranges::find(wanted.suppliers, offer.supplier, &SupplierTerms::name);
        int wait = 1, longest = 1;
        for (unsigned day = 0; day < 14; ++day) {
            const Date on = wanted.today + std::chrono::days(day);
            const bool open = terms == wanted.suppliers.end() || arrival_of(*terms, offer.lead_days, on);
            wait = open ? 1 : wait + 1;
            longest = std::max(longest, wait);
        }
        const int buffer = terms == wanted.suppliers.end() ? 0 : terms->buffer_days;
        best = std::min(best, double(offer.lead_days + buffer + longest));
    }
    return best;
}

} // namespace

// B1. The brews that count are those within lead time and wait, up to and with this one. Part of the variance is each
// brew's own, and part is common to them: the brewhouse's level is off for all alike.
void add_safety(PurchaseCase& wanted, const std::vector<double>& spread, double service) {
    const double z = service_factor(service);
    std::map<std::string, double> exposure;
    for (const PurchaseNeed& need : wanted.needs)
        if (!exposure.contains(need.item)) exposure[need.item] = exposure_days(wanted, need.item);
    for (PurchaseNeed& need : wanted.needs) {
        const double days = exposure[need.item];
        if (!std::isfinite(days)) continue;    // nobody sells it
        std::map<std::string, double> of_brew; // a brew that takes more takes more of each of its parts
        double own = 0.0, common = 0.0;
        for (std::size_t n = 0; n < wanted.needs.size(); ++n) {
            const PurchaseNeed& other = wanted.needs[n];
            const double before = static_cast<double>((need.day - other.day).count());
            if (other.item != need.item || before < 0.0 || before >= days) continue;
            of_brew[other.brew] += other.amount * spread[n];
            common += other.amount * spread[n];
        }
        for (const auto& [brew, sd] : of_brew) own += sd * sd;
        need.safety = z * std::sqrt((1.0 - shared_variance) * own + shared_variance * common * common);
    }
}

namespace {

// What is asked of an item over all its uses, and what is there.
struct ItemUse {
    double used = 0.0, lacking = 0.0, safety = 0.0; // lacking: what nothing is set aside for, less the stock that keeps
    std::set<Date> on;
};

std::map<std::string, ItemUse> uses_by_item(const PurchaseCase& wanted) {
    std::map<std::string, ItemUse> uses;
    for (const PurchaseNeed& need : wanted.needs) {
        ItemUse& use = uses[need.item];
        use.used += need.amount;
        if (!need.set_aside) use.lacking += need.amount;
        use.safety = std::max(use.safety, need.safety);
        use.on.insert(need.day);
    }
    for (const PurchaseSupply& supply : wanted.supplies)
        if (!supply.set_aside) uses[supply.item].lacking -= supply.amount;
    return uses;
}

// What will be used of an item in a time that can be foreseen. Beyond the plans it is as brews used it before. Where
// nothing is known of that, it is at the plans' pace in half as long as they are ahead, two months at most. Then only
// what is used again and again counts. Never longer than it keeps.
double foreseen(const PurchaseCase& wanted, const PurchaseOffer& offer, const ItemUse& use,
                const std::optional<LaterUse>& later) {
    const double lasts = offer.shelf_life_days.value_or(offer.worth_days.value_or(365));
    if (later)
        return later->a_day(offer.item) *
               std::clamp(static_cast<double>((later->until - later->from).count() + 1), 0.0, lasts);
    const double days = std::max(7.0, double((wanted.until - wanted.today).count() + 1));
    return use.on.size() < often_enough ? 0.0 : use.used / days * std::min({lasts, 60.0, 0.5 * days});
}

} // namespace

// What of an item is worth anything when it is left: the rest of a pack that was needed, the safety stock, and what
// is foreseen. Of the last, only what the stock does not last for. Else eight yeasts would be a way to save one
// delivery.
void add_most_left(PurchaseCase& wanted, const std::optional<LaterUse>& later) {
    std::map<std::string, ItemUse> uses = uses_by_item(wanted);
    std::map<std::string, double> smallest;
    for (const PurchaseOffer& offer : wanted.offers) {
        const auto [at, is_new] = smallest.emplace(offer.item, offer.pack);
        if (!is_new) at->second = std::min(at->second, offer.pack);
    }
    for (const PurchaseOffer& offer : wanted.offers) {
        const ItemUse& use = uses[offer.item];
        const double asked = use.lacking + use.safety, pack = smallest[offer.item];
        const double rest = asked > 0.0 ? std::ceil(asked / pack - 1e-9) * pack - asked : 0.0;
        const double kept = std::max(0.0, std::min(use.safety, asked));
        double& most = wanted.most_left[offer.item];
        most = std::max(most, std::max(0.0, rest + kept + foreseen(wanted, offer, use, later) + std::min(0.0, asked)));
    }
}

namespace {

// A lot through the days, for one item.
struct Heap {
    const PurchaseSupply* supply = nullptr;
    double left = 0.0;
    [[nodiscard]] bool is_there(Date day) const {
        return supply->from <= day && (!supply->last || day <= *supply->last);
    }
};

// Takes the need, what spoils first before what keeps. False: there is not so much.
bool serve(const PurchaseNeed& need, std::vector<Heap>& heaps) {
    double lacks = need.amount;
    for (Heap& heap : heaps) {
        if (heap.supply->set_aside || !heap.is_there(need.day)) continue;
        const auto& worth = heap.supply->worth;
        const double each = worth && !need.by_mass ? worth(heap.supply->from, need.day) : 1.0;
        if (each <= 0.0) continue;
        const double taken = std::min(heap.left, lacks / each);
        heap.left -= taken;
        lacks -= taken * each;
    }
    return lacks <= 1e-9 * std::max(1.0, need.amount);
}

bool is_covered(const PurchaseCase& wanted, const std::string& item) {
    std::vector<Heap> heaps;
    for (const PurchaseSupply& supply : wanted.supplies)
        if (supply.item == item) heaps.push_back({&supply, supply.amount});
    std::ranges::stable_sort(heaps, {}, [](const Heap& heap) { return heap.supply->last.value_or(Date::max()); });
    std::vector<const PurchaseNeed*> needs;
    for (const PurchaseNeed& need : wanted.needs)
        if (need.item == item) needs.push_back(&need);
    std::ranges::stable_sort(needs, {}, &PurchaseNeed::day);
    for (std::size_t n = 0; n < needs.size(); ++n) {
        const PurchaseNeed& need = *needs[n];
        if (need.set_aside) {
            for (Heap& heap : heaps)
                if (heap.supply == &wanted.supplies[*need.set_aside]) heap.left -= need.amount;
        } else if (!serve(need, heaps)) {
            return false;
        }
        if (n + 1 < needs.size() && needs[n + 1]->day == need.day) continue; // the day is not over
        double there = 0.0, safety = 0.0;
        for (const Heap& heap : heaps) there += heap.is_there(need.day) ? heap.left : 0.0;
        for (const PurchaseNeed* other : needs)
            if (other->day == need.day) safety = std::max(safety, other->safety);
        if (there < safety - 1e-9) return false;
    }
    return true;
}

} // namespace

std::set<std::string> covered_items(const PurchaseCase& wanted) {
    std::set<std::string> covered;
    for (const PurchaseOffer& offer : wanted.offers)
        if (is_covered(wanted, offer.item)) covered.insert(offer.item);
    return covered;
}

double service_factor(double service) {
    if (service <= 0.5) return 0.0;
    double low = 0.0, high = 8.0; // P(N < 8) is 1 to the last digit
    for (int i = 0; i < 80; ++i) {
        const double z = 0.5 * (low + high);
        (0.5 * std::erfc(z / std::sqrt(2.0)) > 1.0 - service ? low : high) = z;
    }
    return 0.5 * (low + high);
}

} // namespace lotwort::plan
