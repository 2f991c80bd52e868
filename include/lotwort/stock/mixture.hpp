// What lies in a silo that was filled over a rest, or in a bin that several bags were emptied into: one lot made of
// many.
#pragma once

#include <lotwort/stock/lot.hpp>
#include <vector>

namespace lotwort {

// Of what a lot differs from its certificate, the share that all lots of its item have in common where the item states
// no extract_sd of its own (docs/methods/learn.md, judgement). Mixing does not average it out.
inline constexpr double shared_scatter = 0.4;

struct MixedPart {
    Lot lot;
    double share = 0.0; // of the mixture's mass; they sum to 1
    int stem = 0;       // lots that were one once have one number: what one errs by, the other errs by, too
};

// The certificate of the mixture, as laboratories had found by that day. A value is the mean by mass where every part
// has it. Extract that is stated on different bases is brought to fine dry first, each with its moisture.
// Its scatter, of extract, moisture and alpha, each part's as stated or as malt_figures takes it (s_i):
//     var = sum over stems of (sum w_i own_i)^2 + (sum w_i common_i)^2,
//     common_i = shared_scatter * s_i, own_i^2 = s_i^2 - common_i^2;
// common_i = 0 of an extract whose item states extract_sd, which comes on top of every lot's own.
// Aged from the earliest analysis on. None where nothing is stated by all.
[[nodiscard]] std::optional<Certificate> mixed_certificate(const Item& item, const std::vector<MixedPart>& parts,
                                                           Date on);

} // namespace lotwort
