// The holes as a small mixed-integer programme: masses, takes, and which brews can be filled.
#pragma once

#include "case.hpp"

namespace lotwort::plan {

struct SubstitutionModel {
    Mip mip;
    std::vector<std::vector<int>> mass, taken; // column by hole and candidate: kg, yes/no
    std::vector<std::array<int, 2>> off;       // by hole: below and above its target
    std::vector<int> left;                     // yes/no by brew: it is left as it is
    std::vector<std::vector<int>> moved;       // column by brew and adjustable: kg more, or less
    double scale = 1.0;                        // the objective's units in one of cost_per_kg's
};

// A rule that a brew may be freed of, to find which one stands in the way.
enum class BrewRule { colour, enzymes, shares };

struct ModelOptions {
    AnswerKind kind = AnswerKind::nearest;
    std::set<BrewRule> without{};
};

// Minimised: brews left, then what the kind asks for. docs/methods/substitution.md has the rows.
[[nodiscard]] SubstitutionModel substitution_model(const SubstitutionCase& c, const ModelOptions& options);

// What a kilogram of the candidate in the hole costs in the objective of the kind.
[[nodiscard]] double cost_per_kg(const SubstitutionCase& c, AnswerKind kind, const Hole& hole, const Candidate& k);

} // namespace lotwort::plan
