// The calendar of suppliers, and the money of a unit of stock through the days.
#pragma once

#include <lotwort/plan/purchase_case.hpp>

namespace lotwort::plan {

// The supplier's terms; those of one who is not listed cost and close nothing.
[[nodiscard]] const SupplierTerms& terms_of(const PurchaseCase& wanted, const std::string& supplier);
const SupplierTerms& terms_of(const PurchaseCase&&, const std::string&) = delete;

// The first day that anything of the offer can be there.
[[nodiscard]] std::optional<Date> first_arrival(const PurchaseCase& wanted, const PurchaseOffer& offer);

// The first arrival of the offer after `day`.
[[nodiscard]] std::optional<Date> arrival_after(const PurchaseCase& wanted, const PurchaseOffer& offer, Date day);

// Money for keeping a unit from the end of day `from` to the end of the day before `to`.
[[nodiscard]] double keeping(const PurchaseCase& wanted, const std::string& item, Date from, Date to);

// Share of its price that a unit which came on `arrived` is still worth at the horizon.
[[nodiscard]] double share_left(const PurchaseCase& wanted, const PurchaseOffer& offer, Date arrived);

// First day that the goods serve no more; none: they keep.
[[nodiscard]] std::optional<Date> spoilt_from(const PurchaseOffer& offer, Date arrived);

} // namespace lotwort::plan
