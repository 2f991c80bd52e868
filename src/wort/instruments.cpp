#include "range.hpp"
#include <algorithm>
#include <limits>
#include <lotwort/wort/instruments.hpp>

namespace lotwort::wort {

namespace {

constexpr double endless = std::numeric_limits<double>::max();

struct Limit {
    double division;
    double limit;
};
constexpr std::array<Limit, 3> limits_1907{{{1.0, 0.4}, {0.5, 0.25}, {0.2, 0.15}}};

constexpr std::array<TrialPrecision, 9> trials{{
    {"malt moisture, near infrared", 4.0, 4.3, 0.2, 1.3, "EBC_NIR1996"},
    {"barley moisture, near infrared", 12.7, 15.8, 0.3, 1.5, "EBC_NIR1996"},
    {"malt nitrogen of dry matter, near infrared", 1.58, 1.82, 0.1, 0.2, "EBC_NIR1996"},
    {"barley nitrogen of dry matter, near infrared", 1.57, 2.14, 0.1, 0.3, "EBC_NIR1996"},
    {"nitrogen of dry matter, by combustion", 1.23, 1.86, 0.063, 0.116, "EBC_DUMAS"},
    {"soluble nitrogen of dry matter, EBC wort", 0.598, 0.798, 0.047, 0.136, "EBC_TSN"},
    {"soluble nitrogen of dry matter, IoB wort", 0.534, 0.706, 0.039, 0.144, "EBC_TSN"},
    {"ethanol in beer, gas chromatography", 0.93, 6.05, 0.061, 0.136, "IOB_GC"},
    {"ethanol in strong beer, gas chromatography", 9.17, 9.17, 0.154, 0.284, "IOB_GC"},
}};

} // namespace

ReadingUncertainty reading_uncertainty(double division, double limit, std::optional<double> repeatability) {
    require_range(division, 0.0, endless, "division");
    require_range(limit, 0.0, endless, "error limit");
    if (repeatability) require_range(*repeatability, 0.0, endless, "repeatability");
    return {repeatability.value_or(u_rectangular(0.5 * division)), u_rectangular(limit)};
}

double critical_difference(double r95, double big_r95, int results) {
    require_range(r95, 0.0, endless, "r95");
    require_range(big_r95, r95, endless, "R95");
    require_range(results, 1.0, 1e6, "number of results");
    return critical_difference_of(r95, big_r95, results);
}

bool differs(double stated, double found, double r95, double big_r95, int results) {
    return std::abs(found - stated) > critical_difference(r95, big_r95, results);
}

double hydrometer_limit_1907(double division_pct) {
    const auto found = std::ranges::find(limits_1907, division_pct, &Limit::division);
    if (found != limits_1907.end()) return found->limit;
    throw Error(ErrorKind::refused, "no error limit is known for divisions of " + number(division_pct) + " %",
                "the rules are for stems divided in 1, 0.5 or 0.2 %");
}

const std::array<TrialPrecision, 9>& trial_precisions() {
    return trials;
}

} // namespace lotwort::wort
