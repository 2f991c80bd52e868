// A price list in a file states the delivery at its offers: what breaks if it is lost is each order's cost.
#include <doctest/doctest.h>
#include <lotwort/stock/supplier_terms.hpp>

using namespace lotwort;

namespace {

Offer offer_of(const char* supplier, std::optional<Money> delivery, std::optional<Money> minimum = {}) {
    Offer offer;
    offer.supplier = supplier;
    offer.item = "pale malt";
    offer.delivery = delivery;
    offer.minimum_order = minimum;
    return offer;
}

} // namespace

TEST_CASE("a supplier whom offers alone name has the terms that they state") {
    const auto found = suppliers_with_terms({}, {offer_of("one", {}), offer_of("one", Money{1200}, Money{5000})});
    REQUIRE(found.size() == 1);
    CHECK(found.front().name == "one");
    CHECK(found.front().delivery == Money{1200});
    CHECK(found.front().minimum_order == Money{5000});
}

TEST_CASE("a supplier's own terms stand before those of its offers") {
    Supplier own;
    own.name = "one";
    own.delivery = Money{900};
    const auto found = suppliers_with_terms({own}, {offer_of("one", Money{1200}, Money{5000}), offer_of("two", {})});
    REQUIRE(found.size() == 2);
    CHECK(found[0].delivery == Money{900});
    CHECK(found[0].minimum_order == Money{5000});
    CHECK(found[1].name == "two");
    CHECK(!found[1].delivery.has_value());
}
