// What to say where a lot has not what is asked of it.
#pragma once

#include "file/sqlite.hpp"
#include <lotwort/core/amount.hpp>
#include <lotwort/core/date.hpp>
#include <lotwort/core/error.hpp>
#include <string>
#include <vector>

namespace lotwort::store {

struct Asked {
    std::int64_t lot_id = 0;
    std::int64_t entry = 0; // the entry that asks
    Date on;
    Amount amount;     // positive
    std::string whose; // "brew `B7`"
};

// Error(shortage): how much is there and since when, or which later entry needs it, and what other lots of the
// item are free.
[[nodiscard]] Error shortage(Connection& connection, const Asked& asked);

} // namespace lotwort::store
