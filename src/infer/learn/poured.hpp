// A brew as it would have been planned the day before, had one known what was to be weighed and poured; and what came.
#pragma once

#include <lotwort/brew/forecast.hpp>
#include <lotwort/infer/reconciliation.hpp>
#include <string>

namespace lotwort::infer_detail {

// A figure as it was read in the fermenter, at 20 °C.
struct CameFigure {
    Estimate read;          // its sd without the lasting error
    std::string instrument; // its key among those learned (brew_evidence.hpp)
    double bias_sd = 0.0;   // of the lasting error as stated, what the key's error is counted in
};
struct Came {
    std::optional<CameFigure> gravity_sg, volume_l;
};

// A brew as it would have been planned: what was weighed, and the liquor that was poured.
struct Poured {
    Recipe recipe;
    std::vector<PlannedMalt> malts;
    std::vector<PlannedHop> hops;
    double sugar_kg = 0.0, liquor_l = 0.0; // liquor_l: 0 where not all of it was read
    Came came;
};

// None where a forecast of it is of something else (several mashes, a shared fermenter, a top-up). None too where no
// reading can be compared with it, or its figures make no forecast.
[[nodiscard]] std::optional<Poured> poured_or_none(const ReconcileInput& in);

[[nodiscard]] Forecast forecast_of(const Poured& poured, const ReconcileInput& in, const Learned& learned);

} // namespace lotwort::infer_detail
