// The rules S1 to S10 as rows, and what is best as costs.
#pragma once

#include "substitute_case.hpp"

namespace lotwort::plan {

// Rows that are one rule to a brewer, and how he would say it.
struct Rule {
    std::string words;
    std::size_t brew = 0; // of the case; brews.size() where it is of all
    std::vector<int> rows;
};

struct SubstitutionModel {
    Mip mip;
    std::vector<std::vector<int>> mass;  // column by line and candidate, kg
    std::vector<std::vector<int>> taken; // yes/no
    std::vector<int> scale;              // by brew; empty unless `smaller`
    std::vector<int> crumb;              // yes/no by lot, -1 where none can be left; empty where none may be
    std::vector<Rule> rules;
};

struct ModelOptions {
    AnswerKind kind = AnswerKind::nearest;
    bool steps = false; // masses in whole weigh steps, or a whole lot
    bool allow_crumbs = false;
    bool loose_bounds = false; // for finding what clashes: no rule is hidden in a column's bounds
};

[[nodiscard]] SubstitutionModel substitution_model(const SubstitutionCase& c, const ModelOptions& options);

} // namespace lotwort::plan
