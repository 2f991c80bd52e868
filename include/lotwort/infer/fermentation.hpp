// A fermentation by its readings: how far it has come, and whether it has stopped.
//
// The gravity is read day by day (points fermenting and final), by hydrometer, or by refractometer through the original
// gravity. It has stopped where the last reading and one two days or more before it, with all between, are the same:
// common practice is the same mark twice in two to three days. Sugar or fruit that was given since sets it going again.
// Beer that is sealed while it ferments bursts what it is in.
#pragma once

#include <lotwort/core/estimate.hpp>
#include <lotwort/infer/reconciliation.hpp>
#include <optional>
#include <string>
#include <vector>

namespace lotwort {

struct FermentationDay {
    std::string reading; // its id; empty for the day of the brew
    Date on;
    std::optional<double> gravity_sg, attenuation_pct; // apparent
    std::optional<Celsius> temperature;
    std::optional<double> ph;
};

enum class Fermenting { unread, cannot_tell, goes_on, has_stopped };

struct Fermentation {
    std::vector<FermentationDay> days; // in order, the day of the brew first where the original gravity was read
    Fermenting state = Fermenting::unread;
    std::string says; // in a sentence or two: how far, and whether it goes on
};

// Two readings are the same within this: half a mark of a beer hydrometer and a little.
inline constexpr double same_gravity = 0.0007;
inline constexpr int days_apart = 2;
// Attenuation that falls so far short of what the recipe expects may be a fermentation that is stuck.
inline constexpr double stuck_pct = 8.0;

// Dated readings that are not set aside; nothing is refused, what no beer shows is left out.
[[nodiscard]] Fermentation fermentation_of(const ReconcileInput& input);

} // namespace lotwort
