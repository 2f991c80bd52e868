#include "near.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/brew/balance.hpp>

using namespace lotwort;
using namespace lotwort::test;

TEST_CASE("the rules of thumb of washing: no sparge near 83 %, one equal batch +8, another +3") {
    // 4.6 kg holding 1.04 L/kg and a tun loss: R about 5.5 L; 31 L of liquor in equal run-offs
    const double held = 5.5, run_off = 27.0;
    const double none = washing_efficiency(held, held + run_off, 0.0, 1.0);
    const double one = washing_efficiency(held, held + run_off / 2.0, run_off / 2.0, 2.0);
    const double two = washing_efficiency(held, held + run_off / 3.0, 2.0 * run_off / 3.0, 3.0);
    CHECK(none == near(0.83, 0.01));
    CHECK(one - none == near(0.08, 0.15));
    CHECK(two - one == near(0.03, 0.25));
}

TEST_CASE("a heavier grist with the same liquor predicts a lower lauter efficiency") {
    const auto lauter = [](double grist_kg) {
        return washing_efficiency(grist_kg + 0.8, 14.0 + 0.6 * grist_kg, 16.0, 2.0);
    };
    CHECK(lauter(4.0) > lauter(5.0));
    CHECK(lauter(5.0) > lauter(7.0));
}

TEST_CASE("slopes of the balance agree with differences of it") {
    const BrewFacts facts{0.19, 0.3, 0.01, 2.6};
    const std::array<double, 9> at{14.2, 17.0, 3.6, 3.3, 5.6, 3.0, 3.9, 1.5, 0.4};
    const auto run = [&](const auto& x) {
        using Real = std::decay_t<decltype(x[0])>;
        const BrewState<Real> s{x[0], x[1], x[2], x[3], x[4], x[5], x[6], x[7], x[8]};
        const auto b = balance(s, facts);
        return std::array<Real, 7>{b.first_wort_l, b.retained_fraction,  b.kettle_full_l,  b.cast_out_l,
                                   b.fermenter_l,  b.fermenter_fraction, b.lauter_expected};
    };
    std::array<Dual<9>, 9> dual;
    for (std::size_t i = 0; i < 9; ++i) dual[i] = Dual<9>::parameter(at[i], i);
    const auto slopes = run(dual);
    for (std::size_t i = 0; i < 9; ++i) {
        auto up = at, down = at;
        const double h = 1e-5 * std::max(1.0, at[i]);
        up[i] += h;
        down[i] -= h;
        const auto a = run(up), b = run(down);
        for (std::size_t k = 0; k < slopes.size(); ++k) {
            CAPTURE(i);
            CAPTURE(k);
            CHECK(slopes[k].slope[i] == near((a[k] - b[k]) / (2 * h), 1e-5));
        }
    }
}
