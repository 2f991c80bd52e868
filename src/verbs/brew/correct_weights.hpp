// Weights of a brew that were booked wrong, put right.
#pragma once

#include "shared.hpp"

namespace lotwort::verbs {

struct CorrectedWeights {
    Book part;        // the opposite of what was booked, and what should have been
    Brew whole;       // the brew as it stands then
    std::string what; // the entry's line
};

// Of --correct LOT=AMOUNT[@STAGE[,MINUTES]], as often as need be; its item's name does for a lot. Error(refused) where
// nothing of the lot went in, where it went in several times and none is named, and where nothing would change.
[[nodiscard]] CorrectedWeights correct_weights(Call& call, const Book& book, const std::vector<LotState>& lots,
                                               const Brew& brew);

} // namespace lotwort::verbs
