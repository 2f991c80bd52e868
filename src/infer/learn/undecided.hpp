// What the data cannot separate yet, and the brew that would.
#pragma once

#include <lotwort/infer/learning.hpp>

namespace lotwort::infer_detail {

// From the joint Gaussian of the next brew's figures: the level and the malts on hand. scatter: of one brew's
// conversion as read (its own scatter and the readings').
[[nodiscard]] std::vector<Undecided> find_undecided(const Learned& next, const std::vector<UsedLot>& on_hand,
                                                    double one_brew_sd);

} // namespace lotwort::infer_detail
