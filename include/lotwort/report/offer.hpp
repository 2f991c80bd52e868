// The answers of `lotwort offer`: who sells what, and on what terms.
#pragma once

#include <lotwort/report/booked.hpp>
#include <lotwort/stock/offer.hpp>
#include <string>
#include <vector>

namespace lotwort::report {

struct OfferList {
    std::vector<Supplier> suppliers;
    std::vector<Offer> offers;
    std::string currency;
    Date today;
    const Booked* booked = nullptr; // after a change
    std::vector<std::string> says{};
};

[[nodiscard]] std::string offer_text(const OfferList& list);
[[nodiscard]] std::string offer_csv(const OfferList& list);
[[nodiscard]] std::string offer_json(const OfferList& list); // lotwort/offer/1: "suppliers", "offers"

// What a pack holds: 25 kg, 1 L, 10 pieces; empty where it is not stated.
[[nodiscard]] std::string pack_text(const Offer& offer);
[[nodiscard]] std::string pack_text(const OrderLine& line);

} // namespace lotwort::report
