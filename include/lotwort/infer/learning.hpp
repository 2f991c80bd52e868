// Brews to learn from, and what they taught: values alone.
#pragma once

#include <lotwort/brew/learned.hpp>
#include <lotwort/core/estimate.hpp>
#include <lotwort/infer/reconciliation.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// The plainest answer to "what if the scales were as stated": no estimating. For comparisons.
enum class Scales { estimated, as_stated };

// The latest so many brews are learned from: what is older tells nothing more of the next one, and the time that
// learning takes is bounded.
inline constexpr std::size_t most_learned_brews = 350;

struct LearnRequest {
    std::vector<ReconcileInput> brews;  // in any order; of more than are learned from the older are left aside
    std::size_t older = 0;              // brews of before these, left aside already
    std::vector<UsedLot> lots_on_hand;  // whose figures the forecast will ask for
    std::vector<Item> items;            // malts; any lot of them not seen yet
    std::optional<Brewhouse> brewhouse; // the forecast's; none: the last brew's
    // What was packaged, as a share of what the fermenter held, by brew. Of one that is not here the volume read of the
    // finished beer stands for it.
    std::map<std::string, double> packaged;
    Scales scales = Scales::estimated;
};

struct LearnedLot {
    std::string lot, item;
    std::string first_brew; // that it went into, of those that taught something
    int uses = 0;
    Estimate difference;          // true extract against the certificate's: 0.01 is 1 % above
    double probability_odd = 0.0; // that it is one of the few far off
    double p_value = 1.0;         // of its being an ordinary lot, all else known
    bool is_odd = false;          // named so: p below odd_lot_level, and the next figure's interval holds no 0
    double probability_off = 0.0; // that it lies more than off_worth_naming off, to the side of the estimate
    // What p is about: this lot's difference less what all lots of its malt share, taken for one of the few far off.
    Estimate against_malt{};
};

struct LearnedItem {
    std::string item;
    int lots = 0; // seen
    Estimate difference;
};

struct BrewLevel {
    std::string brew, brewhouse;
    Date date;
    Estimate conversion;      // the house's level, against the certificate's extract, as a fraction
    Estimate lauter;          // the house's level against its expectation
    Estimate brewhouse_level; // conversion x lauter x expectation x transfer of this brew
    Estimate this_conversion; // of the brew itself
    Estimate this_lauter;
};

// What a change may be due to, with its share of the probability.
struct PossibleCause {
    std::string what; // "the brewhouse's conversion", "lot PAM-2", "the mill's gap (1.2 to 1.4 mm)"
    double probability = 0.0;
};

struct Drift {
    std::string quantity; // conversion, lauter: the likelier
    std::string brewhouse;
    std::string from_brew, signalled_at;
    // Of the brews from there on against those before, eight of each at most; relative: -0.03 is 3 % lower. The mean
    // over all models, that in which nothing changed among them, so that it is not larger for having been noticed.
    double change = 0.0;
    double sd = 0.0;
    double low = 0.0, high = 0.0;
    double probability = 0.0;          // that something changed within two brews of that one
    bool is_of_malt = false;           // lots that came and went explain it, and hardly a step of the brewhouse
    std::string by;                    // which control charts signalled too: step scan, ewma, cusum
    std::vector<PossibleCause> causes; // likeliest first; one alone where nothing else began there
    std::vector<std::string> hints;
};

// The least change of what comes of the malt that these brews would show four times in five: one that began so many
// brews ago; and with four brews more.
struct Power {
    std::string brewhouse;
    int began_ago = 0;
    double least = 0.0, with_four_more = 0.0; // relative
};

// An instrument's lasting error: read minus true, the same in every brew.
struct LearnedInstrument {
    std::string name, unit;
    std::string brewhouse; // of a typical one where there are several; empty: stated, the same wherever it is used
    Estimate offset;       // in the unit; at the size of the last reading where it goes with the value
    double stated_sd = 0.0;
    int brews = 0, checks = 0;
    double probability = 0.0; // that it errs by more than half of what is stated, to the side of the estimate
    bool is_told = false;     // that much is sure, and it is told from all else that would look the same
    // What would look the same, with the probability of each by the same measure: other instruments, absorption, ...
    std::vector<PossibleCause> or_else;
    std::optional<double> correction; // the instrument's own with this offset taken out; where it is told
};

struct Undecided {
    std::vector<std::string> between; // lot X, malt Y, the brewhouse's conversion
    double correlation = 0.0;
    std::string would_tell;
};

struct LearnedScale {
    std::string name;
    double prior = 0.0, prior_low = 0.0, prior_high = 0.0; // 90 %
    double value = 0.0, low = 0.0, high = 0.0;
};

struct Learning {
    std::vector<LearnedLot> lots;   // used ones, in order of first use
    std::vector<LearnedItem> items; // of the used lots
    std::vector<BrewLevel> levels;  // in brew order, of the brews that taught something
    int brews = 0;                  // looked at, those that teach nothing among them
    std::vector<Drift> drift;
    std::vector<Power> power; // a brewhouse each
    std::vector<LearnedInstrument> instruments;
    std::vector<Undecided> undecided;
    std::vector<LearnedScale> scales;
    std::vector<std::pair<std::string, Estimate>> others; // boil-off, absorption, kettle loss, slopes, attenuation, ...
    Learned next;                                         // for the forecast
    std::vector<std::string> remarks;
    double log_likelihood = 0.0; // at the mode of the scales
};

inline constexpr double odd_lot_level = 0.053;
inline constexpr double off_worth_naming = 0.015;

} // namespace lotwort
