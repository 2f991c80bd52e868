// A golden table as one test: every row is looked up by its function's name and checked.
//
// A name that nobody answers fails the test, so a row cannot be added and quietly left out. Rows of status
// `memory` were recalled, not seen in print: they warn and are counted.
#pragma once

#include "golden.hpp"
#include <cmath>
#include <doctest/doctest.h>
#include <functional>
#include <map>
#include <string>

namespace lotwort::test {

using GoldenFunctions = std::map<std::string, std::function<double(const GoldenRow&)>>;

inline void check_golden_table(const std::string& name, const GoldenFunctions& functions) {
    int soft = 0, soft_within = 0;
    for (const GoldenRow& row : golden_rows(name)) {
        CAPTURE(row.id);
        CAPTURE(row.source);
        const auto found = functions.find(row.function);
        if (found == functions.end()) {
            FAIL_CHECK("no function answers to ", row.function);
            continue;
        }
        const double value = found->second(row);
        CAPTURE(value);
        CAPTURE(row.expected);
        // A tolerance is of the printed digits: a double's own rounding is not held against a row.
        const bool within = std::abs(value - row.expected) <= row.tolerance * (1.0 + 1e-9) + 1e-12;
        if (row.status == "memory") {
            ++soft;
            soft_within += within ? 1 : 0;
            WARN(within);
        } else {
            CHECK(within);
        }
    }
    if (soft > 0) MESSAGE(name, ": ", soft_within, " of ", soft, " recalled rows within tolerance");
}

} // namespace lotwort::test
