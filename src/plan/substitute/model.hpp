// The rules S1 to S10 as rows, and what is best as costs.
#pragma once

#include "case.hpp"

namespace lotwort::plan {

// Rows that are one rule to a brewer, and how he would say it.
struct Rule {
    std::string words;
    std::size_t brew = 0; // of the case; brews.size() where it is of all
    std::vector<int> rows;
    bool is_plain = true; // else named in a clash only where no plainer rule is in it: too little malt is too pale too
};

// A mass as a count of weigh steps, or the whole lot where that ends between two.
struct Steps {
    int count = -1, whole_lot = -1; // columns; no whole_lot where it ends on a step
    int row = -1;                   // that ties the mass to them
};

struct SubstitutionModel {
    Mip mip;
    std::vector<std::vector<int>> mass;    // column by line and candidate, kg
    std::vector<std::vector<int>> taken;   // yes/no
    std::vector<std::vector<Steps>> steps; // empty unless masses are in steps
    std::vector<int> touched, emptied;     // yes/no by lot, -1 where nothing may take of it
    std::vector<int> scale;                // by brew; empty unless `smaller`
    std::vector<int> crumb;                // yes/no by lot, -1 where none can be left; empty where none may be
    std::vector<Rule> rules;
};

struct ModelOptions {
    AnswerKind kind = AnswerKind::nearest;
    bool steps = false; // masses in whole weigh steps, or a whole lot
    bool allow_crumbs = false;
    // Of steps: a lot that does not end on a weigh step is emptied by one take alone, if at all.
    bool lone_ends = false;
    bool loose_bounds = false; // for finding what clashes: no rule is hidden in a column's bounds
};

// What a kilogram of it costs in the objective; a deviation of the line and the scale of a brew come on top.
[[nodiscard]] double objective_per_kg(const SubstitutionCase& c, AnswerKind kind, const CaseLine& line,
                                      const Candidate& candidate);

[[nodiscard]] SubstitutionModel substitution_model(const SubstitutionCase& c, const ModelOptions& options);

} // namespace lotwort::plan
