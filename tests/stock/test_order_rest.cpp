// What is awaited of an order: what was ordered, less what came and stayed.
#include <doctest/doctest.h>
#include <lotwort/stock/order_rest.hpp>

using namespace lotwort;

namespace {

Amount kg(double mass) {
    return Amount::of(Kilograms(mass));
}

LotState lot(const char* code, double mass) {
    LotState state;
    state.lot.code = code;
    state.lot.item = "wheat malt";
    state.lot.received_amount = state.on_hand = kg(mass);
    return state;
}

LotState made(const char* code, double mass, std::vector<Portion> from) {
    LotState state = lot(code, mass);
    state.lot.made_from = std::move(from);
    return state;
}

// Of two lines of one item: two sacks and four.
Order six_sacks(std::vector<std::string> received) {
    Order order;
    order.code = "O1";
    for (const int packs : {2, 4}) {
        OrderLine& line = order.lines.emplace_back();
        line.item = "wheat malt";
        line.pack = Kilograms(25.0);
        line.packs = packs;
    }
    order.received = std::move(received);
    return order;
}

Amount awaited(const Order& order, const std::vector<LotState>& lots) {
    Amount sum{Measure::mass, 0};
    for (const OrderRest& rest : rest_of(order, lots)) sum = sum + rest.awaited;
    return sum;
}

} // namespace

TEST_CASE("what went back to the supplier is awaited again") {
    std::vector<LotState> lots{lot("A", 100), lot("B", 50), lot("C", 75)};
    const Order order = six_sacks({"A", "B"});
    CHECK(awaited(order, lots).units == 0);
    CHECK_FALSE(is_open(order, lots));
    lots[1].returned = kg(25).units;
    CHECK(awaited(order, lots) == kg(25));
    CHECK(is_open(order, lots));
    lots[2].returned = kg(75).units; // of another delivery
    CHECK(awaited(order, lots) == kg(25));
    Order closed = order;
    closed.closed = "they have no more";
    CHECK(awaited(closed, lots).units == 0);
}

TEST_CASE("a sack too many that went back leaves nothing to come") {
    std::vector<LotState> lots{lot("A", 175)};
    lots[0].returned = kg(25).units;
    CHECK(awaited(six_sacks({"A"}), lots).units == 0);
}

TEST_CASE("what went back of a share of the order's lots is the order's, of a blend with others nobody's") {
    std::vector<LotState> lots{lot("A", 150), lot("X", 25), made("A1", 50, {{"A", kg(50)}}),
                               made("A2", 20, {{"A1", kg(20)}}), made("M", 30, {{"A1", kg(10)}, {"X", kg(20)}})};
    const Order order = six_sacks({"A"});
    lots[3].returned = kg(20).units;
    CHECK(awaited(order, lots) == kg(20));
    lots[4].returned = kg(30).units;
    CHECK(awaited(order, lots) == kg(20));
}

TEST_CASE("what came beyond the order is its last line's") {
    const auto rests = rest_of(six_sacks({"L1"}), {lot("L1", 175.0)}); // seven sacks of six
    REQUIRE(rests.size() == 2);
    CHECK(rests[0].received == kg(50.0));
    CHECK(rests[1].received == kg(125.0));
    CHECK(rests[1].awaited.units == 0);
}
