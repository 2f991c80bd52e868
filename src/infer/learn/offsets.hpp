// What each instrument errs by in every brew, and what would look the same.
#pragma once

#include "fit.hpp"

namespace lotwort::infer_detail {

// Probability of erring by more than half of what is stated, from which an instrument is told. Set by simulation
// (docs/methods/learn.md).
inline constexpr double told_from = 0.96;

// Every instrument, then boil-off, absorption and kettle loss of every house.
[[nodiscard]] std::vector<std::vector<stats::Term>> offset_combinations(const LearnModel& model);

// `first`: where those combinations stand in `fitted`.
[[nodiscard]] std::vector<LearnedInstrument> learned_instruments(const LearnModel& model, const FittedModel& fitted,
                                                                 std::size_t first);

} // namespace lotwort::infer_detail
