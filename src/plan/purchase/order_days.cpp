#include "order_days.hpp"
#include "days.hpp"
#include "model.hpp"
#include <algorithm>
#include <lotwort/plan/purchase.hpp>

namespace lotwort::plan {

namespace {

constexpr std::chrono::days one{1};

// What an order of a day can bring: by offer, the day it arrives and how many of its needs are over by then.
struct Brings {
    Date arrives;
    std::ptrdiff_t over = 0;
};

struct DayOfOrders {
    Date day;
    double delivery = 0.0;
    std::map<std::size_t, Brings> offers;
};

// The days on which an offer's goods may be asked for.
std::vector<Date> days_of_need(const PurchaseCase& wanted, const PurchaseOffer& offer) {
    std::set<Date> days;
    for (const PurchaseNeed& need : wanted.needs) {
        if (need.set_aside && need.safety <= 0.0) continue; // it has all it asks for
        if (serves_item(need, offer.item)) days.insert(need.day);
    }
    return {days.begin(), days.end()};
}

// Two orders that become one cost no more than both, and reach the minimum that both reached. The exceptions are
// prices that fall by more than half, and a delivery that costs more than the goods that make it free.
bool may_be_joined(const PurchaseCase& wanted, const SupplierTerms& terms) {
    if (terms.free_from && *terms.free_from < terms.delivery) return false;
    return terms.minimum_order <= 0.0 || std::ranges::all_of(wanted.offers, [&](const PurchaseOffer& offer) {
               return offer.supplier != terms.name || offer.steps.back().price >= 0.5 * offer.steps.front().price;
           });
}

// Can every order of the one day be placed on the other, which is later, and meet the same needs?
bool may_move(const DayOfOrders& from, const DayOfOrders& to) {
    return to.delivery <= from.delivery && std::ranges::all_of(from.offers, [&](const auto& brought) {
               const auto other = to.offers.find(brought.first);
               return other != to.offers.end() && other->second.over == brought.second.over;
           });
}

class Calendar {
public:
    Calendar(const PurchaseCase& wanted, const std::string& supplier, bool every)
        : wanted_(wanted), supplier_(supplier), terms_(terms_of(wanted, supplier)), every_(every) {}

    OfferDays run() {
        for (std::size_t o = 0; o < wanted_.offers.size(); ++o)
            if (wanted_.offers[o].supplier == supplier_) add_offer(o);
        const bool joined = !every_ && may_be_joined(wanted_, terms_);
        std::vector<DayOfOrders> kept;
        for (auto day = days_.rbegin(); day != days_.rend(); ++day)
            if (!joined ||
                std::ranges::none_of(kept, [&](const DayOfOrders& later) { return may_move(day->second, later); }))
                kept.push_back(day->second);
        OfferDays out;
        for (const DayOfOrders& day : kept)
            for (const auto& [offer, brings] : day.offers) out[day.day][offer] = brings.arrives;
        return out;
    }

private:
    // Is an order's being there nothing to pay for or to fill? Then each offer has days of its own.
    [[nodiscard]] bool costs_nothing() const {
        return terms_.delivery <= 0.0 && terms_.delivery_on.empty() && terms_.minimum_order <= 0.0;
    }

    void add_offer(std::size_t o) {
        const PurchaseOffer& offer = wanted_.offers[o];
        const std::vector<Date> needs = days_of_need(wanted_, offer);
        const bool fills = terms_.free_from || terms_.minimum_order > 0.0;
        std::set<std::ptrdiff_t> later; // needs over by the arrival of later days
        const Date last = offer.valid_until ? std::min(*offer.valid_until, wanted_.until) : wanted_.until;
        for (Date day = last; day >= wanted_.today; day -= one) {
            const auto arrives = ready_of(terms_, offer.lead_days, day);
            if (!arrives || *arrives > wanted_.until) continue;
            const auto over = std::ranges::lower_bound(needs, *arrives) - needs.begin();
            const bool is_late = over == std::ssize(needs);
            if (is_late && !fills) continue;
            if (!every_ && costs_nothing() && (is_late || !later.insert(over).second)) continue;
            DayOfOrders& on = days_[day];
            on.day = day;
            const auto special = terms_.delivery_on.find(day);
            on.delivery = special != terms_.delivery_on.end() ? special->second : terms_.delivery;
            on.offers[o] = {*arrives, over};
        }
    }

    const PurchaseCase& wanted_;
    const std::string& supplier_;
    const SupplierTerms& terms_;
    bool every_;
    std::map<Date, DayOfOrders> days_;
};

} // namespace

OfferDays order_days(const PurchaseCase& wanted, const std::string& supplier, bool every) {
    return Calendar(wanted, supplier, every).run();
}

} // namespace lotwort::plan
