// Lots shared out and put together: the new lots with what they have of the old ones.
#pragma once

#include "shared.hpp"
#include <lotwort/stock/worth.hpp>

namespace lotwort::verbs {

// Of one lot, a new lot for each amount, on a day. They are as the old one is: certificate, retests, best before,
// storage, opening and hold; the price is what the old one loses. Error(shortage) where the amounts come to more than
// is there.
[[nodiscard]] std::vector<Lot> share_out(const LotState& state, const std::vector<Amount>& amounts, Date on,
                                         LotValues& values);

// Of several lots of one item, all that is on hand of them, one lot. It keeps what they agree on, the earliest best
// before and crop, what they are worth, and the certificate of a mixture (stock/mixture.hpp); `all` tells which of them
// were one lot once. Error(refused) where they are of different items or measures, or one is on hold.
[[nodiscard]] Lot put_together(const Item& item, const std::vector<LotState>& states, const std::vector<LotState>& all,
                               Date on, LotValues& values);

// Of a yeast: the new lot is as old as the oldest it was made of, and its cells are the mean of those that are stated.
void keep_age(Lot& made, const std::vector<LotState>& of);

} // namespace lotwort::verbs
