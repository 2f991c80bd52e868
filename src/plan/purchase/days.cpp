#include "days.hpp"
#include <algorithm>

namespace lotwort::plan {

namespace {

constexpr std::chrono::days one{1};

bool is_open(const SupplierTerms& terms, Date day) {
    return !terms.closed[std::chrono::weekday(day).c_encoding()];
}

// Is there a day of the week on which an order would come after just its lead?
bool meets_exactly(const SupplierTerms& terms, int lead_days) {
    for (unsigned weekday = 0; weekday < 7; ++weekday)
        if (!terms.closed[weekday] && !terms.closed[(weekday + static_cast<unsigned>(lead_days)) % 7]) return true;
    return false;
}

} // namespace

std::optional<Date> arrival_of(const SupplierTerms& terms, int lead_days, Date order_day) {
    if (!is_open(terms, order_day)) return std::nullopt;
    Date arrives = order_day + std::chrono::days(lead_days);
    if (is_open(terms, arrives)) return arrives;
    if (meets_exactly(terms, lead_days)) return std::nullopt;
    while (!is_open(terms, arrives)) arrives += one; // the order day is open: a week at most
    return arrives;
}

std::optional<Date> ready_of(const SupplierTerms& terms, int lead_days, Date order_day) {
    const auto arrives = arrival_of(terms, lead_days, order_day);
    return arrives ? std::optional(*arrives + std::chrono::days(terms.buffer_days)) : std::nullopt;
}

const SupplierTerms& terms_of(const PurchaseCase& wanted, const std::string& supplier) {
    static const SupplierTerms anyone;
    const auto found = std::ranges::find(wanted.suppliers, supplier, &SupplierTerms::name);
    return found == wanted.suppliers.end() ? anyone : *found;
}

std::optional<Date> arrival_after(const PurchaseCase& wanted, const PurchaseOffer& offer, Date day) {
    const SupplierTerms& terms = terms_of(wanted, offer.supplier);
    const Date first = std::max(wanted.today, day - std::chrono::days(offer.lead_days + terms.buffer_days + 7));
    for (Date order = first; order <= std::max(first, day) + std::chrono::days(14); order += one) {
        if (offer.valid_until && order > *offer.valid_until) return std::nullopt;
        if (const auto ready = ready_of(terms, offer.lead_days, order); ready && *ready > day) return ready;
    }
    return std::nullopt; // closed all week
}

std::optional<Date> first_arrival(const PurchaseCase& wanted, const PurchaseOffer& offer) {
    return arrival_after(wanted, offer, wanted.today - one);
}

double keeping(const PurchaseCase& wanted, const std::string& item, Date from, Date to) {
    const auto found = wanted.holding.find(item);
    if (found == wanted.holding.end() || to <= from) return 0.0;
    const Holding& holding = found->second;
    if (holding.on.empty()) return holding.per_day * static_cast<double>((to - from).count());
    double sum = 0.0;
    for (Date day = from; day < to; day += one) sum += holding.of(day);
    return sum;
}

double share_left(const PurchaseCase& wanted, const PurchaseOffer& offer, Date ready) {
    const auto spoilt = spoilt_from(wanted, offer, ready);
    if (spoilt && *spoilt <= wanted.until) return 0.0;
    // from its arrival: what is bought to be left is worth less than it costs
    const double age =
        static_cast<double>((wanted.until - ready).count() + terms_of(wanted, offer.supplier).buffer_days);
    double share = 1.0;
    const auto days = offer.shelf_life_days ? offer.shelf_life_days : offer.worth_days;
    if (days && *days > 0) share = std::max(0.0, 1.0 - age / *days);
    if (!offer.worth) return share;
    const double fresh = offer.worth(ready, ready);
    return fresh > 0.0 ? std::min(share, offer.worth(ready, wanted.until) / fresh) : 0.0;
}

std::optional<Date> spoilt_from(const PurchaseCase& wanted, const PurchaseOffer& offer, Date ready) {
    if (!offer.shelf_life_days) return std::nullopt;
    return ready + std::chrono::days(*offer.shelf_life_days - terms_of(wanted, offer.supplier).buffer_days);
}

} // namespace lotwort::plan
