// What to buy of what lacks: the offers that are there in time, the cheapest of those, one delivery a supplier.
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
    SupplierTerms terms{offer.supplier, in_units(offer.delivery.value_or(Money{}))};
    const auto supplier = std::ranges::find(request.suppliers, offer.supplier, &Supplier::name);
    if (supplier == request.suppliers.end()) return terms;
    if (supplier->delivery) terms.delivery = in_units(*supplier->delivery);
    if (supplier->free_delivery_from) terms.free_from = in_units(*supplier->free_delivery_from);
    for (const std::string& day : supplier->closed_weekdays)
        terms.closed[static_cast<std::size_t>(std::ranges::find(week, day) - week.begin()) % 7] = true;
    return terms;
}

Money delivery_of(const SupplierTerms& terms, Money goods) {
    if (terms.free_from && in_units(goods) >= *terms.free_from) return {};
    return {static_cast<std::int64_t>(terms.delivery * 100.0 + 0.5)};
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

// The purchase by one offer, without delivery; none where it does not sell it so.
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
    return wanted;
}

// Each item of the cheapest that these suppliers offer, in time where one is; their goods are delivered once.
struct Basket {
    std::vector<Purchase> bought;
    std::int64_t not_offered = 0, late = 0, money = 0;
    [[nodiscard]] auto order() const { return std::tuple(not_offered, late, money); }
};

Basket basket_of(const SubstituteRequest& request, const std::vector<Purchase>& wanted,
                 const std::set<std::string>& suppliers) {
    Basket basket;
    std::map<std::string, std::pair<Money, SupplierTerms>> goods;
    for (const Purchase& one : wanted) {
        const auto order = [](const Purchase& p) { return std::tuple(*p.arrives > p.wanted, p.cost, *p.arrives); };
        std::optional<Purchase> best;
        for (const Offer& offer : request.offers) {
            if (!suppliers.contains(offer.supplier)) continue;
            const auto made = bought(request, offer, one);
            if (!made || (best && order(*made) >= order(*best))) continue;
            best = made;
            goods.try_emplace(offer.supplier, Money{}, terms_of(request, offer));
        }
        if (best) goods.at(*best->supplier).first.minor += best->cost.minor;
        basket.not_offered += best ? 0 : 1;
        basket.late += best && *best->arrives > best->wanted ? 1 : 0;
        basket.bought.push_back(best.value_or(one));
    }
    for (Purchase& one : basket.bought) {
        basket.money += one.cost.minor;
        if (!one.supplier || !goods.contains(*one.supplier)) continue;
        const auto& [spent, terms] = goods.at(*one.supplier);
        one.delivery = delivery_of(terms, spent);
        basket.money += one.delivery.minor;
        goods.erase(*one.supplier);
    }
    return basket;
}

// All sets of suppliers are looked at; of more than twelve, those who are named first.
std::vector<Purchase> cheapest_of(const SubstituteRequest& request, const std::vector<Purchase>& wanted) {
    constexpr std::size_t most = 12;
    std::vector<std::string> suppliers;
    for (const Offer& offer : request.offers)
        if (std::ranges::any_of(wanted, [&](const Purchase& p) { return p.item == offer.item; }) &&
            std::ranges::find(suppliers, offer.supplier) == suppliers.end() && suppliers.size() < most)
            suppliers.push_back(offer.supplier);
    Basket best = basket_of(request, wanted, {});
    for (std::size_t some = 1; some < std::size_t{1} << suppliers.size(); ++some) {
        std::set<std::string> of;
        for (std::size_t i = 0; i < suppliers.size(); ++i)
            if ((some >> i & 1U) != 0) of.insert(suppliers[i]);
        Basket made = basket_of(request, wanted, of);
        if (made.order() < best.order()) best = std::move(made);
    }
    return best.bought;
}

std::string words(const SubstituteRequest& request, const Purchase& p) {
    if (!p.supplier) return fmt::format("{} of {} by {}", to_text(p.amount), p.item, to_iso(p.wanted));
    return fmt::format("{} x {} of {} from {}, {:.2f} {}{}, there by {}{}", p.packs, to_text(p.pack), p.item,
                       *p.supplier, in_units({p.cost.minor + p.delivery.minor}), request.currency,
                       p.delivery.minor > 0 ? " with delivery" : "", to_iso(*p.arrives),
                       *p.arrives > p.wanted ? fmt::format(": too late for {}", to_iso(p.wanted)) : "");
}

// What an open order brings too late, and no offer sooner, is not bought twice.
bool comes_as_soon_by_order(const SubstituteRequest& request, const Shortage& lack) {
    if (!lack.more_due || lack.due_later < lack.missing) return false;
    return std::ranges::none_of(request.offers, [&](const Offer& offer) {
        if (offer.item != lack.item) return false;
        const auto day = arrival(request, offer, terms_of(request, offer));
        return day && *day < *lack.more_due;
    });
}

} // namespace

std::optional<SubstituteAnswer> buy_answer(const SubstituteRequest& request, const Standing& standing,
                                           std::string& why) {
    SubstituteAnswer answer;
    answer.kind = AnswerKind::buy;
    answer.proven_optimal = true;
    for (const Shortage& lack : shortages_of(request, standing).lines) {
        if (comes_as_soon_by_order(request, lack)) continue;
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
    if (answer.to_buy.empty()) {
        why = "what is on order comes as soon as anything that could be bought";
        return std::nullopt;
    }
    std::vector<std::string> parts;
    answer.to_buy = cheapest_of(request, answer.to_buy);
    for (const Purchase& wanted : answer.to_buy) parts.push_back(words(request, wanted));
    answer.sentence = as_sentence(fmt::format("buy {}", fmt::join(parts, "; ")));
    return answer;
}

} // namespace lotwort::plan
