// The holes filled as is usual, and where that leaves a brew as a brewer would fill them then.
#pragma once

#include "solve.hpp"

namespace lotwort::plan {

struct Attempt {
    SubstitutionCase c;
    Solved solved;
    std::set<std::string> off_colour{}; // brews that nothing keeps to their colour
};

// Each is only for the brews that the ones before it leave:
// - as is usual;
// - caramel and roasted malts by their colour;
// - half of what lacks or more where there is no more;
// - other malts weighed a little otherwise;
// - of the nearest, a beer three times as far off its colour.
//
// None where there is no choice between lots that the kind could rank.
[[nodiscard]] std::optional<Attempt> best_attempt(const SubstituteRequest& request, const Standing& standing,
                                                  const SubstitutionCase& usual, AnswerKind kind, Budget& budget);

} // namespace lotwort::plan
