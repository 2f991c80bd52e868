// Parts of a difference against every order counted, and the axioms that make them the only fair ones.
#include "near.hpp"
#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <lotwort/stats/shapley.hpp>
#include <numeric>
#include <random>

using namespace lotwort::test;

using namespace lotwort::stats;

namespace {

using Worth = std::function<double(unsigned)>;

// The mean over all n! orders, joined one by one.
std::vector<double> by_all_orders(int n, const Worth& worth) {
    std::vector<int> order(static_cast<std::size_t>(n));
    std::iota(order.begin(), order.end(), 0);
    std::vector<double> parts(static_cast<std::size_t>(n), 0.0);
    double orders = 0.0;
    do {
        unsigned set = 0;
        for (const int i : order) {
            const double before = worth(set);
            set |= 1U << i;
            parts[static_cast<std::size_t>(i)] += worth(set) - before;
        }
        ++orders;
    } while (std::next_permutation(order.begin(), order.end()));
    for (double& part : parts) part /= orders;
    return parts;
}

Worth random_worth(int n, unsigned seed) {
    std::mt19937 chance(seed);
    std::vector<double> value(1U << n);
    for (double& v : value) v = std::normal_distribution<double>()(chance);
    return [value](unsigned set) { return value[set]; };
}

} // namespace

TEST_CASE("parts are the means over all orders, up to eight changes, and sum to the whole") {
    for (int n = 1; n <= 8; ++n) {
        const auto worth = random_worth(n, static_cast<unsigned>(40 + n));
        const auto parts = shapley(n, worth), counted = by_all_orders(n, worth);
        for (int i = 0; i < n; ++i)
            CHECK(parts[static_cast<std::size_t>(i)] == near(counted[static_cast<std::size_t>(i)], 1e-10));
        const double sum = std::accumulate(parts.begin(), parts.end(), 0.0);
        CHECK(std::abs(sum - (worth((1U << n) - 1) - worth(0))) < 1e-12);
    }
}

TEST_CASE("alike changes get alike parts, an idle one nothing, and parts of a sum are sums of parts") {
    // 0 and 1 alike, 2 idle, 3 multiplies
    const Worth worth = [](unsigned set) {
        const double of_two = ((set & 1U) ? 2.0 : 0.0) + ((set & 2U) ? 2.0 : 0.0);
        return of_two * ((set & 8U) ? 1.5 : 1.0);
    };
    const auto parts = shapley(4, worth);
    CHECK(parts[0] == near(parts[1]));
    CHECK(parts[2] == near(0.0, 0.0, 1e-9));
    CHECK(parts[0] == near(2.5)); // 2 before the factor joins, 3 after: half of the orders each
    CHECK(parts[3] == near(1.0));
    const auto a = random_worth(5, 1), b = random_worth(5, 2);
    const auto of_sum = shapley(5, [&](unsigned s) { return a(s) + b(s); });
    const auto of_a = shapley(5, a), of_b = shapley(5, b);
    for (std::size_t i = 0; i < 5; ++i) CHECK(of_sum[i] == near(of_a[i] + of_b[i]));
}
