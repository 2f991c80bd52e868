// What goods of an order cost in the house: their lines, with freight and less the discount, to the hundredth.
#include <doctest/doctest.h>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/order_rest.hpp>
#include <random>

using namespace lotwort;

namespace {

OrderLine line(const char* item, double pack_kg, int packs, std::int64_t cost) {
    OrderLine made;
    made.item = item;
    made.pack = Kilograms(pack_kg);
    made.packs = packs;
    made.cost = Money{cost};
    return made;
}

Order order(std::vector<OrderLine> lines, std::int64_t freight, std::int64_t discount, SharedBy by) {
    Order made;
    made.code = "O1";
    made.lines = std::move(lines);
    if (freight > 0) made.freight = Money{freight};
    if (discount > 0) made.discount = Money{discount};
    made.shared_by = by;
    return made;
}

using Costs = std::vector<Money>;

} // namespace

// 45.00 over 120.00 and 9.50 is 41.699 and 3.301; over 100 and 5 kg 42.857 and 2.143; 10.00 off is 9.266 and 0.734
TEST_CASE("freight goes by value or by mass, a discount by value") {
    const std::vector<OrderLine> lines{line("pale ale malt", 25.0, 4, 12000), line("crystal malt", 5.0, 1, 950)};
    CHECK(landed_costs(order(lines, 0, 0, SharedBy::value)) == Costs{Money{12000}, Money{950}});
    CHECK(landed_costs(order(lines, 4500, 0, SharedBy::value)) == Costs{Money{16170}, Money{1280}});
    CHECK(landed_costs(order(lines, 4500, 0, SharedBy::mass)) == Costs{Money{16286}, Money{1164}});
    CHECK(landed_costs(order(lines, 0, 1000, SharedBy::mass)) == Costs{Money{11073}, Money{877}});
}

TEST_CASE("the lines come to the order's sum to the hundredth, whatever it is") {
    std::mt19937 dice(7);
    const auto roll = [&](int most) { return static_cast<int>(dice() % static_cast<unsigned>(most + 1)); };
    for (int round = 0; round < 500; ++round) {
        std::vector<OrderLine> lines;
        std::int64_t goods = 0;
        for (int i = 0, n = 1 + roll(5); i < n; ++i) {
            lines.push_back(line("malt", 0.5 + roll(50), 1 + roll(8), roll(100'000)));
            goods += lines.back().cost.minor;
        }
        const std::int64_t freight = roll(30'000);
        const std::int64_t off = roll(static_cast<int>(goods));
        std::int64_t sum = 0;
        for (const Money cost :
             landed_costs(order(lines, freight, off, roll(1) == 0 ? SharedBy::mass : SharedBy::value))) {
            CHECK(cost.minor >= 0);
            sum += cost.minor;
        }
        CHECK(sum == goods + freight - off);
    }
}

TEST_CASE("what cannot be shared so is refused") {
    std::vector<OrderLine> lines{line("pale ale malt", 25.0, 4, 12000)};
    CHECK_THROWS_WITH_AS((void)landed_costs(order(lines, 0, 12001, SharedBy::value)),
                         "order O1 has a discount that is more than its goods", Error);
    lines.front().pack.reset();
    lines.front().pack_count = 10;
    CHECK_THROWS_WITH_AS((void)landed_costs(order(lines, 4500, 0, SharedBy::mass)),
                         "order O1 shares by mass, and pale ale malt is not bought by mass", Error);
}

TEST_CASE("goods given for nothing cost nothing; a discount beyond them is refused") {
    const std::vector<OrderLine> lines{line("pale ale malt", 25.0, 1, 3000)};
    CHECK(landed_costs(order(lines, 0, 3000, SharedBy::value)) == Costs{Money{0}});
    CHECK_THROWS_AS((void)landed_costs(order(lines, 0, 3001, SharedBy::value)), Error);
}
