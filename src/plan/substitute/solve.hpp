// What goes into the holes: the model solved, ties broken, masses in weigh steps.
#pragma once

#include "mip/budget.hpp"
#include "model.hpp"

namespace lotwort::plan {

struct Take {
    std::size_t hole = 0, candidate = 0;
    double mass_kg = 0.0; // a whole number of weigh steps, or all that is left of the lot
};

// So much more of a line that lacks nothing, or less.
struct Moved {
    std::size_t brew = 0, adjustable = 0;
    double kg = 0.0;
};

struct Solved {
    bool stopped = false; // a limit came before the proof
    double objective = 0.0, bound = 0.0;
    std::vector<Take> takes;  // by hole
    std::vector<Moved> moved; // of brews that are opened
    std::vector<bool> left;   // by brew: not filled
};

// Brews whose holes lie apart are solved apart. Never without an answer: a brew that nothing fills is left.
[[nodiscard]] Solved solve_holes(const SubstitutionCase& c, AnswerKind kind, Budget& budget);

// Why a brew that has lots enough for each of its holes is left: a sentence. Of the cheapest and the oldest c holds the
// lots that state a price or a date, which may be too few.
[[nodiscard]] std::string why_left(const SubstitutionCase& c, std::size_t brew, AnswerKind kind,
                                   const MipOptions& limits);

} // namespace lotwort::plan
