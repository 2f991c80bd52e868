// What to buy of what lacks: of each item the offer that is there in time, the cheapest of those.
#include "cards.hpp"
#include "other_answers.hpp"
#include "sentence.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/plan/purchase.hpp>
#include <tuple>

namespace lotwort::plan {

namespace {

constexpr std::array<std::string_view, 7> week{"sunday",   "monday", "tuesday", "wednesday",
                                               "thursday", "friday", "saturday"};
constexpr int days_looked_ahead = 14; // a supplier who is closed that long sells nothing

SupplierTerms terms_of(const SubstituteRequest& request, const Offer& offer) {
    SupplierTerms terms{offer.supplier};
    const auto supplier = std::ranges::find(request.suppliers, offer.supplier, &Supplier::name);
    if (supplier == request.suppliers.end()) return terms;
    terms.delivery = in_units(supplier->delivery.value_or(offer.delivery.value_or(Money{})));
    if (supplier->free_delivery_from) terms.free_from = in_units(*supplier->free_delivery_from);
    for (const std::string& day : supplier->closed_weekdays)
        terms.closed[static_cast<std::size_t>(std::ranges::find(week, day) - week.begin()) % 7] = true;
    return terms;
}

int lead_days_of(const SubstituteRequest& request, const Offer& offer) {
    if (offer.lead_days) return *offer.lead_days;
    for (const Supplier& supplier : request.suppliers)
        if (supplier.name == offer.supplier && supplier.lead_days) return *supplier.lead_days;
    return 0;
}

std::optional<Date> arrival(const SubstituteRequest& request, const Offer& offer, const SupplierTerms& terms) {
    const int lead_days = lead_days_of(request, offer);
    for (int later = 0; later < days_looked_ahead; ++later) {
        const Date order = request.today + std::chrono::days(later);
        if (offer.valid_until && order > *offer.valid_until) break;
        if (const auto day = arrival_of(terms, lead_days, order)) return day;
    }
    return std::nullopt;
}

// The purchase by one offer; none where it does not sell it so.
std::optional<Purchase> bought(const SubstituteRequest& request, const Offer& offer, Purchase wanted) {
    const auto pack = pack_of(offer);
    if (offer.item != wanted.item || !pack || pack->units <= 0 || pack->measure != wanted.amount.measure) return {};
    const SupplierTerms terms = terms_of(request, offer);
    wanted.arrives = arrival(request, offer, terms);
    if (!wanted.arrives || offer.price_steps.empty()) return {};
    wanted.supplier = offer.supplier;
    wanted.pack = *pack;
    wanted.packs = static_cast<int>((wanted.amount.units + pack->units - 1) / pack->units);
    Money price = offer.price_steps.front().price;
    for (const PriceStep& step : offer.price_steps)
        if (wanted.packs >= step.packs) price = step.price;
    wanted.cost = {price.minor * wanted.packs};
    if (!terms.free_from || in_units(wanted.cost) < *terms.free_from)
        wanted.cost.minor += static_cast<std::int64_t>(terms.delivery * 100.0 + 0.5);
    return wanted;
}

std::string words(const SubstituteRequest& request, const Purchase& p) {
    if (!p.supplier) return fmt::format("{} of {} by {}", to_text(p.amount), p.item, to_iso(p.wanted));
    return fmt::format("{} x {} of {} from {}, {:.2f} {}, there on {}{}", p.packs, to_text(p.pack), p.item, *p.supplier,
                       in_units(p.cost), request.currency, to_iso(*p.arrives),
                       *p.arrives > p.wanted ? fmt::format(": too late for {}", to_iso(p.wanted)) : "");
}

} // namespace

SubstituteAnswer buy_answer(const SubstituteRequest& request, const Standing& standing) {
    SubstituteAnswer answer;
    answer.kind = AnswerKind::buy;
    answer.proven_optimal = true;
    for (const Shortage& lack : shortages_of(request, standing).lines) {
        const auto same = std::ranges::find_if(answer.to_buy, [&](const Purchase& p) {
            return p.item == lack.item && p.amount.measure == lack.missing.measure;
        });
        if (same != answer.to_buy.end()) {
            same->amount = same->amount + lack.missing;
            same->wanted = std::min(same->wanted, lack.date);
        } else {
            answer.to_buy.push_back({lack.item, lack.missing, lack.date});
        }
    }
    std::vector<std::string> parts;
    for (Purchase& wanted : answer.to_buy) {
        const auto order = [](const Purchase& p) { return std::tuple(*p.arrives > p.wanted, p.cost, *p.arrives); };
        std::optional<Purchase> best;
        for (const Offer& offer : request.offers)
            if (auto made = bought(request, offer, wanted))
                if (!best || order(*made) < order(*best)) best = std::move(made);
        if (best) wanted = *best;
        parts.push_back(words(request, wanted));
    }
    answer.sentence = as_sentence(fmt::format("buy {}", fmt::join(parts, "; ")));
    return answer;
}

} // namespace lotwort::plan
