// Weights of a brew that were booked wrong, put right.
#pragma once

#include "brew_change.hpp"

namespace lotwort::verbs {

// Of --correct LOT=AMOUNT[@STAGE[,MINUTES]], as often as need be; its item's name does for a lot. Of several weights
// of a lot in one place the old one says which: LOT=OLD=AMOUNT. Books the opposite of what was booked, and what should
// have been. Error(refused) where nothing of the lot went in, where nothing would change, or where more is taken of a
// lot on hold. Also where it is not said which weight is meant, or one is named twice.
[[nodiscard]] BrewChange correct_weights(Call& call, const Book& book, const std::vector<LotState>& lots,
                                         const Brew& brew);

} // namespace lotwort::verbs
