// Brews to learn from, and what they taught: values alone.
#pragma once

#include <lotwort/brew/learned.hpp>
#include <lotwort/core/estimate.hpp>
#include <lotwort/infer/reconciliation.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

// The plainest answer to "what if the scales were as stated": no estimating. For comparisons.
enum class Scales { estimated, as_stated };

struct LearnRequest {
    std::vector<ReconcileInput> brews;  // in any order
    std::vector<UsedLot> lots_on_hand;  // whose figures the forecast will ask for
    std::vector<Item> items;            // malts; any lot of them not seen yet
    std::optional<Brewhouse> brewhouse; // the forecast's; none: the last brew's
    Scales scales = Scales::estimated;
};

struct LearnedLot {
    std::string lot, item;
    int uses = 0;
    Estimate difference;          // true extract against the certificate's: 0.01 is 1 % above
    double probability_odd = 0.0; // that it is one of the few far off
    double p_value = 1.0;         // of its being an ordinary lot, all else known
    bool is_odd = false;          // named so: p below odd_lot_level, and the next figure's interval holds no 0
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

struct Drift {
    std::string quantity; // conversion, lauter
    std::string brewhouse;
    std::string from_brew, signalled_at;
    double change = 0.0; // relative: -0.03 is 3 % lower
    double sd = 0.0;
    double low = 0.0, high = 0.0;
    double p_value =
        1.0;        // of so strong a sign in a series this long without a change; 0.05 at most, else none is named
    std::string by; // which charts signalled: step scan, ewma, cusum
    std::vector<std::string> hints;
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
    std::vector<Undecided> undecided;
    std::vector<LearnedScale> scales;
    std::vector<std::pair<std::string, Estimate>> others; // boil-off, absorption, kettle loss, slopes, attenuation, ...
    Learned next;                                         // for the forecast
    std::vector<std::string> remarks;
    double log_likelihood = 0.0; // at the mode of the scales
};

inline constexpr double odd_lot_level = 0.053;

} // namespace lotwort
