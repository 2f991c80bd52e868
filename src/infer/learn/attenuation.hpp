// How far yeasts ferment, and what of the fermenter is packaged: learned by the same machinery as the brewhouse.
#pragma once

#include <lotwort/infer/learning.hpp>

namespace lotwort::infer_detail {

// Fills next.attenuation, its slope, next.packaged_share, and adds to `others`. `packaged`: LearnRequest's.
void learn_after_the_kettle(const std::vector<const ReconcileInput*>& brews,
                            const std::map<std::string, double>& packaged, Learning& out);

// A gravity in Plato with its sd; none where there is none or it was read by refractometer, which beer deceives.
[[nodiscard]] std::optional<Estimate> gravity_in_plato(const ReconcileInput& in, const Reading& reading);

} // namespace lotwort::infer_detail
