#include "thin.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {

constexpr double tie = 1e-6;          // of the objective
constexpr double worth_taking = 1e-7; // kg

// The model's masses and scales, with the rows that hold no yes or no.
struct Linear {
    Mip mip;
    std::vector<int> column; // of the model's columns; -1: none
};

Linear without_choices(const Mip& model) {
    Linear out;
    for (const MipColumn& c : model.columns())
        out.column.push_back(c.whole ? -1 : out.mip.column({}, c.low, c.high, c.cost));
    for (const MipRow& row : model.rows()) {
        std::vector<Term> terms;
        for (const Term& term : row.terms) {
            const int column = out.column[std::size_t(term.column)];
            if (column < 0) break;
            terms.push_back({column, term.factor});
        }
        if (terms.size() == row.terms.size()) out.mip.row({}, std::move(terms), row.low, row.high);
    }
    return out;
}

// Of answers as good, the one of the oldest stock.
MipAnswer with_oldest(const SubstitutionCase& c, const SubstitutionModel& model, const Linear& linear,
                      const MipAnswer& best, Budget& budget) {
    Mip tied = linear.mip;
    std::vector<Term> objective;
    for (std::size_t i = 0; i < tied.columns().size(); ++i) {
        if (tied.columns()[i].cost != 0.0) objective.push_back({int(i), tied.columns()[i].cost});
        tied.set_cost(int(i), 0.0);
    }
    tied.row({}, objective, -no_limit, best.objective + tie * std::max(1.0, std::abs(best.objective)));
    for (std::size_t i = 0; i < c.lines.size(); ++i)
        for (std::size_t k = 0; k < c.lines[i].candidates.size(); ++k)
            tied.set_cost(linear.column[std::size_t(model.mass[i][k])], c.lines[i].candidates[k].days_to_best);
    return budget.solve(tied, {});
}

// The candidates of one line that are kept, in their order.
std::vector<Candidate> kept_of(const CaseLine& line, const std::vector<double>& mass, const std::vector<double>& cost,
                               std::size_t more) {
    std::vector<std::size_t> spare;
    std::vector<bool> keep(line.candidates.size(), false);
    for (std::size_t k = 0; k < keep.size(); ++k) {
        keep[k] = mass[k] > worth_taking;
        if (!keep[k]) spare.push_back(k);
    }
    std::ranges::stable_sort(spare, {},
                             [&](std::size_t k) { return std::pair(cost[k], line.candidates[k].days_to_best); });
    for (std::size_t n = 0; n < std::min(more, spare.size()); ++n) keep[spare[n]] = true;
    std::vector<Candidate> out;
    for (std::size_t k = 0; k < keep.size(); ++k)
        if (keep[k]) out.push_back(line.candidates[k]);
    return out;
}

} // namespace

double linear_bound(const SubstitutionCase& c, AnswerKind kind) {
    return solve(without_choices(substitution_model(c, {.kind = kind}).mip).mip).bound;
}

Thinned thinned(const SubstitutionCase& c, const SubstitutionCase& roomy, AnswerKind kind, std::size_t more,
                Budget& budget) {
    SubstitutionModel model = substitution_model(c, {.kind = kind});
    Linear linear = without_choices(model.mip);
    MipAnswer best = budget.solve_to_the_end(linear.mip, {}); // a blink; without it there is no bound
    Thinned out;
    out.status = best.status;
    if (!best.found()) return out;
    out.bound = best.bound;
    out.kept = c;
    const SubstitutionModel eased_model = substitution_model(roomy, {.kind = kind});
    const Linear eased = without_choices(eased_model.mip);
    if (MipAnswer of_eased = budget.solve_to_the_end(eased.mip, {}); of_eased.found()) {
        best = std::move(of_eased);
        linear = eased;
    }
    const MipAnswer oldest = with_oldest(c, model, linear, best, budget);
    const auto& values = oldest.found() ? oldest.values : best.values;
    for (std::size_t i = 0; i < c.lines.size(); ++i) {
        std::vector<double> mass, cost;
        for (const int column : model.mass[i]) {
            mass.push_back(values[std::size_t(linear.column[std::size_t(column)])]);
            cost.push_back(best.reduced_costs[std::size_t(linear.column[std::size_t(column)])]);
        }
        out.kept.lines[i].candidates = kept_of(c.lines[i], mass, cost, more);
    }
    return out;
}

} // namespace lotwort::plan
