// Money shared out: the parts make the sum, whatever it is, and no part is off by a hundredth.
#include <doctest/doctest.h>
#include <lotwort/stock/share.hpp>
#include <numeric>
#include <random>

using namespace lotwort;

TEST_CASE("ten in three equal parts: the first takes the hundredth that is left") {
    CHECK(shared_out(1000, {1, 1, 1}) == std::vector<std::int64_t>{334, 333, 333});
}

// By hand: 18.00 over 65.00, 20.00 and 4.00 (89.00): 13.146, 4.045, 0.809; rounded down 13.14 + 4.04 + 0.80 = 17.98,
// the two that are left go to the remainders 0.9 of the third and 0.6 of the first.
TEST_CASE("freight of 18.00 over goods of 65, 20 and 4") {
    CHECK(shared_out(1800, {6500, 2000, 400}) == std::vector<std::int64_t>{1315, 404, 81});
}

TEST_CASE("nothing has no parts, and goods without a price share equally") {
    CHECK(shared_out(500, {}).empty());
    CHECK(shared_out(501, {0, 0}) == std::vector<std::int64_t>{251, 250});
    CHECK(shared_out(0, {3, 4}) == std::vector<std::int64_t>{0, 0});
}

TEST_CASE("whatever is shared over whatever, the parts make the sum and none is a hundredth off") {
    std::mt19937_64 random(7);
    const auto upto = [&](std::int64_t most) { return std::uniform_int_distribution<std::int64_t>(0, most)(random); };
    for (int trial = 0; trial < 2000; ++trial) {
        std::vector<std::int64_t> weights(static_cast<std::size_t>(1 + upto(9)));
        for (auto& weight : weights) weight = upto(trial % 2 == 0 ? 20 : 1'000'000'000'000);
        const std::int64_t sum = upto(100'000'000'000);
        const auto parts = shared_out(sum, weights);
        CHECK(std::accumulate(parts.begin(), parts.end(), std::int64_t{0}) == sum);
        const double all = static_cast<double>(std::accumulate(weights.begin(), weights.end(), std::int64_t{0}));
        if (all == 0.0) continue;
        for (std::size_t i = 0; i < parts.size(); ++i) {
            const double exact = static_cast<double>(sum) * (static_cast<double>(weights[i]) / all);
            CHECK(static_cast<double>(parts[i]) > exact - 1.001);
            CHECK(static_cast<double>(parts[i]) < exact + 1.001);
        }
    }
}
