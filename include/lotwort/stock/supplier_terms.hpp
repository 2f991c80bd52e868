// Who sells, and on what terms: an offer may state what its supplier charges for a delivery.
#pragma once

#include <lotwort/stock/offer.hpp>
#include <vector>

namespace lotwort {

// The suppliers, and behind them those that offers alone name, in the order of the offers. Delivery and minimum order
// that a supplier does not state are those of its first offer that does.
[[nodiscard]] std::vector<Supplier> suppliers_with_terms(std::vector<Supplier> suppliers,
                                                         const std::vector<Offer>& offers);

} // namespace lotwort
