// What many brews together say of malt lots, malts and the brewhouse, and what the next one should give.
//
//     ln conversion_b = c_b + sum_i share_ib lot_i + slopes + noise      c_b, l_b: random walks in brew order
//     ln lauter_b     = l_b + noise                                      (lautering against its expectation)
//     boil-off, absorption, kettle loss of b = one constant each + noise
//     lot_i = item_j + N(0, s_lot), now and then far off;  item_j = N(0, s_item)
//
// over all brews of the ledger, from what each brew's balance alone says of these figures (in information form). Scales
// are estimated by marginal likelihood with stated priors and integrated over a grid. Method, sources, what was
// measured: docs/methods/learn.md.
#pragma once

#include <lotwort/infer/learning.hpp>

namespace lotwort {

[[nodiscard]] Learning learn(const LearnRequest& request);

} // namespace lotwort
