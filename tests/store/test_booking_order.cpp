// In what turn movements are booked, and that it is known from 8 bytes of each.
#include "../../src/store/write/booking_order.hpp"
#include "heap_in_use.hpp"
#include "ledger_support.hpp"
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::store;
using Of = BookingOrder::Of;

TEST_CASE("by day, what is added first; what was taken and came back goes pair by pair before the rest") {
    LotRow lot;
    LotRow busy; // has movements up to the 20th
    busy.newest_on = test::day("2026-03-20");
    BookingOrder order(8);
    order.add({Of::rows, 0}, test::day("2026-03-02"), lot, -5, false);
    order.add({Of::rows, 1}, test::day("2026-03-02"), lot, 9, false);
    order.add({Of::rows, 2}, test::day("2026-03-01"), lot, -1, false);
    order.add({Of::movements, 40}, test::day("2026-03-10"), busy, 7, false); // before all days
    order.add({Of::movements, 41}, test::day("2026-03-21"), busy, 7, false);
    order.add({Of::movements, 2}, test::day("2026-03-02"), lot, -5, false); // behind the row of its turn
    order.add({Of::rows, 3}, test::day("2026-04-01"), lot, 20, true);       // of a lot with pairs: first of all
    order.add_reversal({Of::movements, 7}, 9);
    order.add_taken_back({Of::movements, 9});
    order.sort();
    std::string turns;
    order.for_each([&](BookingOrder::Place place) {
        turns += (place.of == Of::rows ? "row " : "movement ") + std::to_string(place.at) + "; ";
    });
    CHECK(turns == "row 3; movement 9; movement 7; movement 40; row 2; row 1; row 0; movement 2; movement 41; ");
}

TEST_CASE("a movement's turn takes 8 bytes") {
    constexpr std::size_t many = 200'000;
    const LotRow lot;
    test::MostInUse used;
    BookingOrder order(many);
    for (std::size_t i = 0; i < many; ++i) {
        order.add({Of::movements, i * 70}, test::day("2026-03-02") + std::chrono::days(i * 7'919 % 900), lot, -5,
                  false);
        if (i % 1000 == 0) used.look();
    }
    order.sort();
    used.look();
    CHECK(used.beyond_beginning() < 8 * many + 100'000);
    std::size_t wrong = 0, seen = 0;
    std::uint64_t before = 0;
    order.for_each([&](BookingOrder::Place place) {
        const std::uint64_t turn = (place.at / 70 * 7'919 % 900) << 32U | place.at;
        if (seen++ > 0 && turn <= before) ++wrong;
        before = turn;
    });
    CHECK(seen == many);
    CHECK(wrong == 0);
}
