// What one reading means by itself: the litres behind a stick's depth, the extract behind a hydrometer's mark.
//
// A brewer who dips 32 cm wants to see the litres before the stick is dry. The figures are those that the
// reconciliation takes: by the dip table, the instrument's stated correction and its uncertainty.
#pragma once

#include <lotwort/core/estimate.hpp>
#include <lotwort/infer/reconciliation.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

struct ReadingMeaning {
    std::optional<Estimate> volume_as_read_l; // at the temperature it was read at, vessel's expansion and all
    std::optional<Estimate> volume_20c_l;     // by the reading's own gravity, else as water
    std::optional<Estimate> extract_plato;    // none for Brix of fermented beer: alcohol bends light
    std::optional<Estimate> extract_kg;       // in all
    std::optional<std::string> too_warm;      // why the gravity is known so badly; none where it was cool enough
};

// One standard deviation holds the instrument's repeatability, scale and bias; that of a hydrometer also what a sample
// warmer than warmest_sample_c may have cooled by while it was read.
// Error(refused) for an unknown instrument, a depth outside the dip table or a mark that no wort shows.
[[nodiscard]] ReadingMeaning meaning_of(const Reading& reading, const Brewhouse& brewhouse,
                                        const std::vector<Instrument>& instruments);

// A hydrometer's correction is held to its tables up to here (docs/methods/wort.md). Above, the wort around the stem is
// taken to have lost a tenth, one standard deviation, of what it is warmer than that: judgement.
inline constexpr double warmest_sample_c = 60.0, cooled_unseen = 0.1;

// A gravity that cannot be what its point says, as the others of its brew stand.
struct GravityDoubt {
    Reading reading;
    double wort_plato = 0.0;         // the brew's wort by the other readings, else the recipe
    std::optional<Reading> original; // a final gravity that is not below this one; none: read in the fermenter, and
                                     // only fermented beer has it
};

// Of new readings only; `before` are those of the brew already.
[[nodiscard]] std::vector<GravityDoubt> gravity_doubts(const std::vector<Reading>& read,
                                                       const std::vector<Reading>& before,
                                                       const std::optional<Recipe>& recipe, const Brewhouse& brewhouse,
                                                       const std::vector<Instrument>& instruments);

} // namespace lotwort
