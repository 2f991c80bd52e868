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
        best = std::min(best, double(offer.lead_days + longest));
    }
    return best;
}

} // namespace

// B1: of the brews within lead time and wait, up to and with this one, part of the variance is each brew's own and part
// is common to them (the brewhouse's level is off for all alike).
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

// What of an item is worth anything when it is left: the rest of a pack that was needed, the safety stock, and what the
// brews use at their pace in a time that can be foreseen: half as long as they are planned ahead, two months at most,
// and only of what is used again and again. Else eight yeasts would be a way to save one delivery.
void add_most_left(PurchaseCase& wanted) {
    const double days = std::max(7.0, double((wanted.until - wanted.today).count() + 1));
    struct Use {
        double used = 0.0, lacking = 0.0, safety = 0.0;
        std::set<Date> on;
    };
    std::map<std::string, Use> uses;
    for (const PurchaseNeed& need : wanted.needs) {
        Use& use = uses[need.item];
        use.used += need.amount;
        if (!need.set_aside) use.lacking += need.amount;
        use.safety = std::max(use.safety, need.safety);
        use.on.insert(need.day);
    }
    for (const PurchaseSupply& supply : wanted.supplies)
        if (!supply.set_aside) uses[supply.item].lacking -= supply.amount;
    std::map<std::string, double> smallest;
    for (const PurchaseOffer& offer : wanted.offers) {
        const auto [at, is_new] = smallest.emplace(offer.item, offer.pack);
        if (!is_new) at->second = std::min(at->second, offer.pack);
    }
    for (const PurchaseOffer& offer : wanted.offers) {
        const Use& use = uses[offer.item];
        const double asked = use.lacking + use.safety, pack = smallest[offer.item];
        const double rest = asked > 0.0 ? std::ceil(asked / pack - 1e-9) * pack - asked : 0.0;
        const double lasts = offer.shelf_life_days.value_or(offer.worth_days.value_or(365));
        const double foreseen = use.on.size() < often_enough ? 0.0 : std::min({lasts, 60.0, 0.5 * days});
        double& most = wanted.most_left[offer.item];
        most = std::max(most, rest + use.safety + use.used / days * foreseen);
    }
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
