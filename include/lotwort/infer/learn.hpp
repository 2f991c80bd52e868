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

// What all brews of the request but one, and those that ran into its fermenter, lead to expect of it: of each brew in
// `of`, an element each; none where nothing was learned. Of a brew of the request its own figures too, where it is a mash
// and a fermenter alone; of another, the instruments' errors. Rests on the 150 brews about it. For
// ReconcileInput::elsewhere.
[[nodiscard]] std::vector<std::optional<Elsewhere>> learned_elsewhere(const LearnRequest& request,
                                                                      const std::vector<const ReconcileInput*>& of);

} // namespace lotwort
