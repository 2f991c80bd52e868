// The slips people make, as likely errors: what was read less what would be true if the slip was made.
#pragma once

#include "equations.hpp"
#include <limits>
#include <string>
#include <vector>

namespace lotwort::infer_detail {

struct Slip {
    std::string what;   // a sentence a brewer can check
    double error = 0.0; // read minus true, in the equation's unit
    // The slip can be told only where the error is known to this; a digit that is far off would else explain anything.
    double most_sd = std::numeric_limits<double>::infinity();
};

// Every slip that could be behind this reading, whatever the evidence says.
[[nodiscard]] std::vector<Slip> possible_slips(const BrewEquation& equation);

// The slips whose error agrees with the estimated one, best first: within 2 standard deviations of it (1.5 of a digit
// that is far off), and a better account than no error at all. At most three.
[[nodiscard]] std::vector<std::string> looks_like(const BrewEquation& equation, double likely_error,
                                                  double likely_error_sd);

} // namespace lotwort::infer_detail
