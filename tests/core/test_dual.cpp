#include "near.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/core/dual.hpp>

using namespace lotwort;
using namespace lotwort::test;

TEST_CASE("derivatives of a compound function agree with the calculus by hand") {
    // f(x, y) = (x^2 y + exp(-x)) / sqrt(y) - log(x) + y^1.7
    const double x = 1.3, y = 2.1;
    const auto dx = Dual<2>::parameter(x, 0), dy = Dual<2>::parameter(y, 1);
    const auto f = (dx * dx * dy + exp(-dx)) / sqrt(dy) - log(dx) + pow(dy, 1.7);
    CHECK(f.value == near((x * x * y + std::exp(-x)) / std::sqrt(y) - std::log(x) + std::pow(y, 1.7)));
    CHECK(f.slope[0] == near((2 * x * y - std::exp(-x)) / std::sqrt(y) - 1 / x, 1e-13));
    CHECK(f.slope[1] ==
          near(x * x / std::sqrt(y) - 0.5 * (x * x * y + std::exp(-x)) * std::pow(y, -1.5) + 1.7 * std::pow(y, 0.7),
               1e-13));
}

TEST_CASE("a constant carries no slopes") {
    const Dual<2> c = 5.0;
    CHECK(c.slope[0] == 0.0);
    CHECK((c * Dual<2>::parameter(2.0, 1)).slope[1] == 5.0);
}
