// The figure behind an equation of a reading: its litres, its extract.
#pragma once

#include "brew_model.hpp"
#include <lotwort/core/estimate.hpp>
#include <utility>

namespace lotwort::infer_detail {

[[nodiscard]] bool is_glass(const BrewEquation& gravity); // read with a hydrometer, whose mark is corrected

// The extract in °P, the instrument's correction in it. Error(refused) for a mark that no wort shows.
[[nodiscard]] Estimate plato_behind(const BrewEquation& gravity);

// Litres at the temperature they were read at, and at 20 °C, of wort of that mass fraction. A mass is litres at 20 °C.
[[nodiscard]] std::pair<Estimate, Estimate> litres_behind(const BrewEquation& volume, double mass_fraction);

// One standard deviation, on the scale of the reading, of what a hydrometer's sample above warmest_sample_c may have
// cooled by; 0 below it.
[[nodiscard]] double warm_sample_sd(const BrewEquation& gravity);

} // namespace lotwort::infer_detail
