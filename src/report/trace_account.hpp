// What came in of a lot, and what became of it.
#pragma once

#include <lotwort/report/trace.hpp>

namespace lotwort::report {

// The two must meet.
struct Account {
    Amount received;
    Amount into_brews;
    Amount otherwise; // counts, discards and what else left or was found
    Amount left;
    std::size_t brews = 0;
};

[[nodiscard]] Account account_of(const TracedLot& traced);

} // namespace lotwort::report
