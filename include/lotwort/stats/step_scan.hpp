// Steps in a level that may also wander: the generalised likelihood ratio over when the step began.
//
// A filter takes the observations one by one; of each it says how far it lies from what was expected, in standard
// deviations of that expectation (the standardised innovation). A step of size d that began at time k would have
// moved every later innovation by d times a known signature. The filter is linear, so the signature is what it makes
// of a unit step (Willsky and Jones 1976). For every candidate k:
//
//     information_k += g' g,  score_k += g' e      (e innovation, g signature, both standardised)
//     d_k = score/information,  sd_k = 1/sqrt(information),  ratio_k = score^2/information
//
// The walk stays in the expectation, so a step is what moved faster than the walk explains. The state is small and
// dense. Unknowns enter when first needed and leave when no later observation needs them. So the cost of a series is
// its length times the square of what is in use at once.
#pragma once

#include <memory>
#include <vector>

namespace lotwort::stats {

struct SlotTerm {
    int slot = 0;
    double coefficient = 0.0;
};

struct StepEstimate {
    int from = 0; // the candidate's number
    int track = 0;
    double size = 0.0;
    double sd = 0.0;
    double ratio = 0.0; // chi-square of one degree of freedom for a k given beforehand and no step
    double evidence =
        0.0; // 2 ln of the likelihood ratio averaged over sizes and summed over all candidates of the track
};

class StepFilter {
public:
    // window: how many candidates are kept per track, newest first to go on; tracks: series a step can be in.
    StepFilter(int window, int tracks);
    ~StepFilter();

    // A new unknown: combination of those in use plus N(mean, sd^2). Returns its slot.
    int enter(const std::vector<SlotTerm>& of, double mean, double sd);
    void leave(int slot);
    // The unknown takes a step N(0, sd^2).
    void wander(int slot, double sd);
    // From here on a step in `track` may have begun; candidates are numbered by the caller.
    void candidate(int track, int number);
    // sum coefficient x = value +- sd. per_track[t]: what a unit step in track t adds to the observation.
    // Returns the standardised innovation.
    double observe(const std::vector<SlotTerm>& of, double value, double sd, const std::vector<double>& per_track);

    // The strongest candidate of a track now, numbered `latest` at most; ratio 0 where there is none. A step's size is
    // N(0, size_sd^2) beforehand: ln of candidate k's averaged ratio is (ratio_k s/(1 + s) - ln(1 + s))/2, s =
    // information_k size_sd^2, so that a candidate of few brews, whose size is anyone's guess, weighs less. `weight` is
    // how likely a step in this track is beforehand, beside 1 for the others' mean.
    [[nodiscard]] StepEstimate best(int track, int latest, double size_sd, double weight = 1.0) const;
    // Takes the step for true, as wide as it is known: the level in `slot` has made it, what it had been put down to is
    // given back, and every candidate is forgotten.
    void accept(const StepEstimate& step, int slot);
    [[nodiscard]] double log_likelihood() const;
    [[nodiscard]] double mean(int slot) const;
    [[nodiscard]] double variance(int slot) const;
    // of sum coefficient x, as foreseen
    [[nodiscard]] double mean(const std::vector<SlotTerm>& of) const;
    [[nodiscard]] double variance(const std::vector<SlotTerm>& of) const;

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

} // namespace lotwort::stats
