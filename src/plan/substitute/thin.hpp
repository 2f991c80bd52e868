// The takes worth thinking of, out of all there could be.
//
// Every lot that may stand in for every line is a choice, thirteen thousand of them for a year's brews; but masses
// alone, without yes and no, are a linear programme that is solved in a blink, and its answer takes of a few hundred.
// No answer with the choices in it can be better than it, and few are worse by much.
#pragma once

#include "mip/budget.hpp"
#include "model.hpp"

namespace lotwort::plan {

struct Thinned {
    MipStatus status = MipStatus::stopped; // infeasible: proven for the whole case
    double bound = -no_limit;              // no answer of the whole case is lower
    SubstitutionCase kept;                 // the case with few candidates
};

// Keeps of each line the lots that the linear programme takes (of ties in it the oldest stock), and `more` beside them
// that would cost least to take too. The bound is the case's own; what is kept is sought among the masses that leave
// room to be rounded (`roomy`, the case with narrower tolerances), where there are any.
[[nodiscard]] Thinned thinned(const SubstitutionCase& c, const SubstitutionCase& roomy, AnswerKind kind,
                              std::size_t more, Budget& budget);

// No answer of the case is lower.
[[nodiscard]] double linear_bound(const SubstitutionCase& c, AnswerKind kind);

} // namespace lotwort::plan
