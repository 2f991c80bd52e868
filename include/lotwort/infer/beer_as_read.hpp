// A brew's beer by its readings alone: what a list of a thousand brews shows, where a balance of each would take long.
#pragma once

#include <lotwort/core/estimate.hpp>
#include <lotwort/infer/reconciliation.hpp>
#include <optional>

namespace lotwort {

struct BeerAsRead {
    std::optional<Estimate> original_sg; // the last gravity at the fermenter, else at cast-out; corrected, and with
                                         // all liquor that came after it
    std::optional<Estimate> final_sg;    // as reconcile takes it: by hydrometer, refractometer or both
    std::optional<Estimate> alcohol_abv_pct;
    std::optional<double> fermenter_l; // the last volume read there, at 20 °C, and liquor that came after
    // Extract in the fermenter of what the malt and sugar before it hold by their papers. Of a brew that has a
    // fermenter to itself.
    std::optional<double> efficiency;
};

// What a reading of no beer says is left out; nothing is refused. Alcohol only where the final gravity is the lower
// one.
[[nodiscard]] BeerAsRead beer_as_read(const ReconcileInput& input);

} // namespace lotwort
