// A brew's solution, with what had to be left out to have one.
//
// A kettle of 290 L where 29 were, or a gravity of 1.106 for 1.016: no brew fits such readings, and the search ends at
// the edge of what a brew can be. What contradicts the others most is then left out, one at a time, and said.
#pragma once

#include "brew_problem.hpp"
#include "suspects.hpp"
#include <string>
#include <vector>

namespace lotwort::infer_detail {

struct SettledBrew {
    BrewModel model; // without what was left out, what stands in for it in its place
    Limited limited;
    std::vector<BrewEquation> left_out; // strongest first
    bool is_settled = true;             // false: no brew fits what is left either
};

// as_read: the solution with every equation, and what is charged there. Of a model with equations.
[[nodiscard]] SettledBrew settle(const BrewModel& model, const UnknownsOf& unknowns, Limited as_read,
                                 std::vector<Charge> charges);

} // namespace lotwort::infer_detail
