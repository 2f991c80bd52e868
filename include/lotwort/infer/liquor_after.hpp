// Liquor that went in after a reading was taken: what was read is not yet thinned by it.
//
// A brewer reads the full kettle, or the fermenter, and then adds liquor to come to the planned gravity; or days later.
// Kettle liquor belongs to the full kettle, a top-up to the fermenter and the beer in it. What stands at cast-out is
// read before any top-up.
#pragma once

#include <lotwort/infer/reconciliation.hpp>
#include <string_view>

namespace lotwort {

// What the id of a reading begins with that was booked late: before-r3 was taken before r3.
inline constexpr std::string_view before_id = "before-";

// By the time of day where both state one and neither is of beer, else by their order in the brew. A corrected reading
// has the place of the one that it stands for.
[[nodiscard]] bool taken_after(const Brew& brew, const Reading& one, const Reading& other);

// Litres at 20 °C that were added after the reading to what it was taken of; 0 where that gets no liquor.
[[nodiscard]] double liquor_after(const ReconcileInput& input, const Reading& reading);

// The same as a share, 0 to 1, of all liquor that was added there.
[[nodiscard]] double share_of_liquor_after(const ReconcileInput& input, const Reading& reading);

// What is left of the beer's strength, by mass, once all liquor that came after the reading is in: 1 - m/M, m the
// liquor, M all that is then in the vessel. Where no volume was read there, the brewhouse's.
[[nodiscard]] double strength_left(const ReconcileInput& input, const Reading& reading, double original_sg);

// A gravity of wort with all liquor in that came after it was read.
[[nodiscard]] Estimate filled_up(const ReconcileInput& input, const Reading& reading, const Estimate& gravity_sg);

// A gravity thinned to so much of its extract.
[[nodiscard]] Estimate thinned(const Estimate& gravity_sg, double strength_left);

} // namespace lotwort
