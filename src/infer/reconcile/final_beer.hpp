// What the final gravity makes of the balance: attenuation and alcohol.
#pragma once

#include "equations.hpp"
#include <lotwort/infer/late_extract.hpp>
#include <optional>
#include <string>

namespace lotwort::infer_detail {

// A final gravity, the reading it rests on, and what is odd about it.
struct FinalGravity {
    std::string reading;
    Estimate sg;
    std::string doubt{};
};

// What was read at the end: the gravity where any reading of it makes sense, and one that does not.
struct FinalBeer {
    std::optional<FinalGravity> gravity;
    std::optional<ImpossibleReading>
        impossible; // a gravity no beer has, or one the refractometer's rule does not hold for
};

// Of each kind of instrument the last reading counts. By hydrometer; by refractometer through the original gravity,
// and not at all without it (wort/refractometer.hpp); by both as their weighted mean. Where they are more than three
// of their standard uncertainties apart, by the hydrometer alone, and `doubt` says so.
[[nodiscard]] FinalBeer final_beer(const ReconcileInput& input, const std::optional<Estimate>& original_sg);

// The gravity that the wort and what was given in the fermenter would have had together.
[[nodiscard]] Estimate original_with(const Estimate& wort_sg, const Estimate& litres, const wort::LateExtract& late);

// Where a final gravity was read, adds to the quantities final_gravity_sg, apparent_attenuation_pct and
// alcohol_abv_pct. They follow from it and the balanced original gravity, their errors taken as independent. What is
// odd, and a gravity not below the original, is said in `beyond_original`. A reading that takes no part is returned.
[[nodiscard]] std::optional<ImpossibleReading> add_final_beer(const ReconcileInput& input, Reconciliation& out);

} // namespace lotwort::infer_detail
