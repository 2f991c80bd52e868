// In what turn movements are booked.
#include "../../src/store/write/booking_order.hpp"
#include "ledger_support.hpp"
#include <algorithm>
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::store;

TEST_CASE("by day, what is added first; what was taken and came back goes pair by pair before the rest") {
    const auto newest_of_busy = test::day("2026-03-20");
    std::vector<std::pair<Turn, std::string>> movements{
        {turn_of(test::day("2026-03-02"), -5, {}, false), "taken"},
        {turn_of(test::day("2026-03-02"), 9, {}, false), "added"},
        {turn_of(test::day("2026-03-01"), -1, {}, false), "taken before"},
        {turn_of(test::day("2026-03-10"), 7, newest_of_busy, false), "before all days"},
        {turn_of(test::day("2026-03-21"), 7, newest_of_busy, false), "on its day"},
        {turn_of(test::day("2026-03-02"), -5, {}, false), "taken, booked behind"},
        {turn_of(test::day("2026-04-01"), 20, {}, true), "added to a lot with pairs"},
        {turn_of_pair(9, true), "reversal of 9"},
        {turn_of_pair(9, false), "9"},
        {turn_of_pair(2, true), "reversal of 2"},
        {turn_of_pair(2, false), "2"},
    };
    std::ranges::stable_sort(movements, {}, [](const auto& movement) { return movement.first; });
    std::string turns;
    for (const auto& [turn, what] : movements) turns += what + "; ";
    CHECK(turns == "added to a lot with pairs; 2; reversal of 2; 9; reversal of 9; before all days; taken before; "
                   "added; taken; taken, booked behind; on its day; ");
}
