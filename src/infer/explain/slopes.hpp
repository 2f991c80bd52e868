// How far each part of a difference is known.
#pragma once

#include "happened.hpp"

namespace lotwort::infer_detail {

// A brew's unknowns, then the attenuation, what of that is the mash rest's, and what of the extract is the stand-ins'.
enum Beyond : int { of_attenuation, of_rest, of_stand_ins, beyonds };

struct Split {
    const Inputs& planned;
    const Happened& really;
    const Constants& constants;
    double attenuated = 0.0;
    std::vector<Cause> asked;
};

// First order: how every part of every outcome, a row a cause and the reading error last, moves with each of those.
[[nodiscard]] std::array<Eigen::MatrixXd, outcomes> slopes_of(const Split& split,
                                                              const std::array<bool, outcomes>& was_read);

} // namespace lotwort::infer_detail
