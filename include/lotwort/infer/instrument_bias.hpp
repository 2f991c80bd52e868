// What many brews say of an instrument: kettle marks that read high read high in every brew.
//
// Within one brew a bias is one draw that widens the answer. Over brews the same bias comes back, and other
// instruments show it - unless the brewhouse's own level (a boil-off always harder than stated) would look the same.
// Method: docs/methods/reconcile.md, "Over many brews".
#pragma once

#include <lotwort/core/estimate.hpp>
#include <lotwort/infer/reconciliation.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

struct LearnedBias {
    std::string instrument;
    std::string unit;      // of the bias, as read; at the size of the last reading where it goes with the value
    Estimate bias;         // read minus true; positive: it reads high
    double prior_sd = 0.0; // what was known before
    // what the instrument's own correction would be, in its unit, with this bias taken out; none where its bias goes
    // with the value or is read on another scale
    std::optional<double> correction;
    int readings = 0;
    int brews = 0;
    // shared figures that would look the same (correlation 0.8 or more): other instruments, or levels of the
    // brewhouse (boil-off, kettle-loss, ...)
    std::vector<std::string> cannot_be_told_from;
};

// All brews of one brewhouse together, linear at each brew's own solution: the brews' states are eliminated, what is
// left of every equation speaks of the biases and of the levels that all brews share. Instruments without a bias
// (bias_sd 0) are left out. Brews without malt are left out. In the order of the instruments' names.
[[nodiscard]] std::vector<LearnedBias> learn_biases(const std::vector<ReconcileInput>& brews);

} // namespace lotwort
