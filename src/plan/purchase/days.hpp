// The calendar of suppliers, and the money of a unit of stock through the days.
#pragma once

#include <lotwort/plan/purchase_case.hpp>

namespace lotwort::plan {

// The supplier's terms; those of one who is not listed cost and close nothing.
[[nodiscard]] const SupplierTerms& terms_of(const PurchaseCase& wanted, const std::string& supplier);
const SupplierTerms& terms_of(const PurchaseCase&&, const std::string&) = delete;

// The day that goods of an order of that day are counted on: a buffer after they arrive.
[[nodiscard]] std::optional<Date> ready_of(const SupplierTerms& terms, int lead_days, Date order_day);

// The first day that anything of the offer can be there.
[[nodiscard]] std::optional<Date> first_arrival(const PurchaseCase& wanted, const PurchaseOffer& offer);

// The first day after `day` that the offer's goods can be counted on.
[[nodiscard]] std::optional<Date> arrival_after(const PurchaseCase& wanted, const PurchaseOffer& offer, Date day);

// Money for keeping a unit from the end of day `from` to the end of the day before `to`.
[[nodiscard]] double keeping(const PurchaseCase& wanted, const std::string& item, Date from, Date to);

// Share of its price that a unit that is counted on from `ready` is still worth at the horizon.
[[nodiscard]] double share_left(const PurchaseCase& wanted, const PurchaseOffer& offer, Date ready);

// First day that the goods serve no more, by their arrival; none: they keep.
[[nodiscard]] std::optional<Date> spoilt_from(const PurchaseCase& wanted, const PurchaseOffer& offer, Date ready);

} // namespace lotwort::plan
