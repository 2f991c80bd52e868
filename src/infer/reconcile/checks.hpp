// What an instrument showed of something known, as its lasting error, counted in what it is stated to err by.
#pragma once

#include "brew_model.hpp"

namespace lotwort::infer_detail {

// A check says: the lasting error is `value`, with this sd; both in bias_sd at what was known.
struct CheckedError {
    double value = 0.0, sd = 0.0;
    friend bool operator==(const CheckedError&, const CheckedError&) = default;
};

// One a check. An instrument that is stated to err by nothing has none: then there is nothing to be learned of it.
[[nodiscard]] std::vector<CheckedError> checked_errors(const Instrument& instrument);

// What is believed of the lasting error with them: as it is stated, of variance lasting_share, without one.
[[nodiscard]] CheckedError believed(const std::vector<CheckedError>& checks);

} // namespace lotwort::infer_detail
