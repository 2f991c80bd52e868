// What was read of the beer, and how far it fermented by that.
#pragma once

#include "happened.hpp"
#include <lotwort/core/estimate.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort::infer_detail {

// As it was read, at 20 C, and all liquor that came after it; none where it was not.
struct Read {
    std::optional<double> gravity_sg, volume_l;
    double gravity_sd = 0.0;
};
[[nodiscard]] Read read_of(const ReconcileInput& in);

// What the last readings say, by whatever instrument; what is odd about them is added to the remarks.
[[nodiscard]] std::optional<Estimate> final_of(const ReconcileInput& in, const Estimate& original_sg,
                                               std::vector<std::string>& remarks);

// What fermented: the wort, and with it what was given in the fermenter.
struct Fermented {
    double wort_plato = 0.0, wort_kg = 0.0, original_plato = 0.0; // the last of all of it
    wort::LateExtract late;
    // Of the wort.
    [[nodiscard]] double attenuation(double final_plato) const;
};
[[nodiscard]] Fermented fermented_of(const Happened& h, double wort_plato);

// Of the wort's attenuation, by what the final gravity's instrument may be out; the original's error is the balance's.
[[nodiscard]] double attenuation_variance(const Estimate& final_sg, double final_plato, const Fermented& beer);

} // namespace lotwort::infer_detail
