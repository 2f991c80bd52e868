#include "checks.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <set>
#include <tuple>

namespace lotwort {

namespace {

double in_units(Money money) {
    return static_cast<double>(money.minor) / 100.0;
}

void check_currency(std::string_view currency, const TellBroken& report) {
    const bool capitals = std::ranges::all_of(currency, [](char c) { return c >= 'A' && c <= 'Z'; });
    if (!currency.empty() && (currency.size() != 3 || !capitals))
        report("currency", fmt::format("`{}` is no currency; write three capital letters, such as EUR", currency));
}

// An offer is known by supplier, item and what a pack holds.
void check_offers_apart(const std::vector<Offer>& offers, const TellBroken& report) {
    using Pack = std::tuple<std::optional<Kilograms>, std::optional<Litres>, std::optional<int>>;
    std::set<std::tuple<std::string_view, std::string_view, Pack>> seen;
    for (std::size_t i = 0; i < offers.size(); ++i) {
        const Offer& offer = offers[i];
        if (seen.emplace(offer.supplier, offer.item, Pack(offer.pack, offer.pack_volume, offer.pack_count)).second)
            continue;
        report(fmt::format("offers[{}]", i),
               fmt::format("a second offer of the same pack of `{}` by `{}`", offer.item, offer.supplier));
    }
}

// Delivery and minimum order are a supplier's, wherever they are stated.
void check_terms_agree(const Book& book, std::string_view field, std::optional<Money> Supplier::*of_supplier,
                       std::optional<Money> Offer::*of_offer, const TellBroken& report) {
    std::map<std::string_view, std::optional<Money>> stated;
    for (const Supplier& supplier : book.suppliers) stated[supplier.name] = supplier.*of_supplier;
    for (std::size_t i = 0; i < book.offers.size(); ++i) {
        const Offer& offer = book.offers[i];
        const std::optional<Money>& here = offer.*of_offer;
        std::optional<Money>& before = stated[offer.supplier];
        if (here && before && *here != *before)
            report(fmt::format("offers[{}].{}", i, field),
                   fmt::format("{} here, but {} elsewhere for supplier `{}`", in_units(*here), in_units(*before),
                               offer.supplier));
        if (!before) before = here;
    }
}

} // namespace

void check_rules(const ExchangeDocument& document, const TellBroken& report) {
    const Book& book = document.book;
    check_currency(book.currency, report);
    check_offers_apart(book.offers, report);
    check_terms_agree(book, "delivery", &Supplier::delivery, &Offer::delivery, report);
    check_terms_agree(book, "minimum_order", &Supplier::minimum_order, &Offer::minimum_order, report);
}

} // namespace lotwort
