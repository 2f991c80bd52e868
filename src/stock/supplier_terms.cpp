#include <algorithm>
#include <lotwort/stock/supplier_terms.hpp>

namespace lotwort {

std::vector<Supplier> suppliers_with_terms(std::vector<Supplier> suppliers, const std::vector<Offer>& offers) {
    for (const Offer& offer : offers) {
        auto supplier = std::ranges::find(suppliers, offer.supplier, &Supplier::name);
        if (supplier == suppliers.end()) {
            suppliers.emplace_back().name = offer.supplier;
            supplier = std::prev(suppliers.end());
        }
        if (!supplier->delivery) supplier->delivery = offer.delivery;
        if (!supplier->minimum_order) supplier->minimum_order = offer.minimum_order;
    }
    return suppliers;
}

} // namespace lotwort
