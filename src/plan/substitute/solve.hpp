// Solving one kind of substitution: the proven bound, then whole weigh steps; and what clashes where nothing will do.
#pragma once

#include "model.hpp"

namespace lotwort::plan {

// How an answer had to be sought: strictly, or with crumbs left, or with bittering to half a weigh step.
struct Leniency {
    bool crumbs = false;
    bool half_steps = false;
};

struct Solved {
    bool found = false;
    bool stopped = false;  // a limit came first
    double seconds = 0.0;  // that the search took
    bool searched = false; // with every choice open, to the bound that is stated
    double objective = 0.0;
    double bound = -no_limit; // of the whole case; -no_limit: none is known
    int crumbs = 0;
    std::vector<AnswerLine> lines;
    std::map<std::string, double> scale;
};

[[nodiscard]] Solved solve_kind(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency,
                                const MipOptions& limits);

// A few brews at once, in whole steps: one search for the masses, one for steps about them. `bound` is of `c`.
class Budget;
[[nodiscard]] Solved solve_alone(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, double bound,
                                 Budget& budget);
[[nodiscard]] Solved solve_together(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, double bound,
                                    Budget& budget);

// A smallest set of rules that cannot be kept together (deletion filter: each is needed for the clash). Empty where
// masses not held to weigh steps would keep them all, or a limit came first. (substitute_clash.cpp)
[[nodiscard]] std::vector<std::string> clashing_rules(const SubstitutionCase& c, const MipOptions& limits);

} // namespace lotwort::plan
