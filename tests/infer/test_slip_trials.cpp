// One slip of the pen in each of many brews: an answer each time, every figure finite, and the slip among the suspects
// where it stands out. LOTWORT_SLIPS=20000 makes it as long as one likes; the figures are tests/bench/slip_figures.
#include "slip_trials.hpp"
#include <cstdlib>
#include <doctest/doctest.h>

using namespace lotwort;
using namespace lotwort::test;

TEST_CASE("whatever is mistyped, the brew is balanced, and the slip is found where it can be seen") {
    const char* wish = std::getenv("LOTWORT_SLIPS");
    const int brews = wish != nullptr ? std::atoi(wish) : 200;
    int made = 0, plain = 0, named = 0;
    for (std::uint64_t number = 1; made < brews; ++number) {
        const auto trial = slip_trial(number);
        if (!trial) continue;
        ++made;
        INFO("trial " << number << ", " << trial->reading << ", " << trial->slip);
        const auto answer = reconcile(trial->input);
        const auto flaw = flaw_of(answer);
        CHECK_MESSAGE(!flaw, flaw.value_or(""));
        CHECK(answer.efficiencies.brewhouse.estimate.has_value());
        if (!trial->stands_out || *trial->stands_out < 6.0) continue;
        ++plain;
        named += suspects(answer, trial->reading);
    }
    CHECK(plain > brews / 5);
    CHECK(named >= 0.98 * plain);
}
