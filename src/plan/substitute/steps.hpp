// From masses to weighings: whole weigh steps, every rule still kept.
#pragma once

#include "mip/budget.hpp"
#include "model.hpp"

namespace lotwort::plan {

inline constexpr double proven_gap = 0.001;
inline constexpr std::size_t small_model = 400; // columns: below, the optimum is sought to the last digit

[[nodiscard]] double gap_of(double objective, double bound);

// The limits with the gaps that a model of this size is solved to.
[[nodiscard]] MipOptions options_for(const Mip& model, const MipOptions& limits);

// Whole weigh steps about the continuous answer, its takes kept. Values are of `stepped`.
[[nodiscard]] MipAnswer steps_near(const SubstitutionModel& continuous, const std::vector<double>& values,
                                   const SubstitutionModel& stepped, double bound, Budget& budget);

// Whole weigh steps with every choice open.
[[nodiscard]] MipAnswer steps_open(const SubstitutionModel& stepped, double bound, Budget& budget);

// The case with half its tolerances: masses that keep these leave room to round them.
[[nodiscard]] SubstitutionCase with_room(const SubstitutionCase& c);

// Brew after brew in the order of their days: one is put into whole steps, its choices open, those before it as they
// stand, those after it with their takes kept and their masses free to give way. Many brews are thus many small
// searches. Brews not yet reached keep the rules of `roomy`, the same model with_room; so does `continuous`.
[[nodiscard]] MipAnswer steps_by_brew(const SubstitutionCase& c, const SubstitutionModel& continuous,
                                      const std::vector<double>& values, const SubstitutionModel& stepped,
                                      const SubstitutionModel& roomy, double bound, Budget& budget);

} // namespace lotwort::plan
