#include "near.hpp"
#include <doctest/doctest.h>
#include <lotwort/core/quantity.hpp>
#include <type_traits>

using namespace lotwort;
using namespace lotwort::test;

namespace {

template <class A, class B>
concept adds = requires(A a, B b) {
    a + b;
};
template <class A, class B>
concept subtracts = requires(A a, B b) {
    a - b;
};
template <class A, class B>
concept compares = requires(A a, B b) {
    a < b;
};

} // namespace

// A raw double where a quantity belongs must not compile, nor one unit where another belongs.
static_assert(!std::is_convertible_v<double, Kilograms>);
static_assert(!std::is_convertible_v<Kilograms, double>);
static_assert(!std::is_convertible_v<Grams, Kilograms>);
static_assert(!std::is_constructible_v<Plato, Brix>);
static_assert(!adds<Kilograms, Grams> && !adds<Kilograms, double> && !compares<Kilograms, Litres>);

// Points are not differences.
static_assert(!adds<Celsius, Celsius> && adds<Celsius, CelsiusDifference> && !adds<CelsiusDifference, Celsius>);
static_assert(std::is_same_v<decltype(Celsius(20) - Celsius(15)), CelsiusDifference>);
static_assert(std::is_same_v<decltype(SpecificGravity(1.05) - SpecificGravity(1.01)), GravityDifference>);
static_assert(!subtracts<Celsius, SpecificGravity>);
static_assert(!std::is_convertible_v<CelsiusDifference, Celsius>);

TEST_CASE("quantities add, scale and divide to a plain ratio") {
    CHECK((Kilograms(4.0) + Kilograms(0.5)) / Kilograms(1.5) == near(3.0));
    CHECK((2.0 * Litres(3.0)).value() == near(6.0));
    CHECK((Celsius(65.0) - Celsius(62.0)).value() == near(3.0));
    CHECK((Celsius(65.0) + CelsiusDifference(2.0)).value() == near(67.0));
    CHECK(to_grams(Kilograms(0.0253)).value() == near(25.3));
}
