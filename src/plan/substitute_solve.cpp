#include "substitute_solve.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>

namespace lotwort::plan {

namespace {

constexpr double tie = 1e-6; // of the objective: no difference to a brewer
constexpr double proven_gap = 0.001;
constexpr std::size_t small = 400; // columns: below, the optimum is sought to the last digit
// of the seconds, where they are limited: the rest is the continuous search's
constexpr double share_of_ties = 0.1, share_of_steps = 0.25;
constexpr double rounding_window = 0.3; // kg about the continuous mass

MipOptions options_for(const Mip& model, const MipOptions& limits) {
    MipOptions options = limits;
    const bool is_small = model.columns().size() < small;
    options.relative_gap = is_small ? 1e-8 : 0.1 * proven_gap;
    options.absolute_gap = is_small ? 1e-8 : 0.1 * proven_gap;
    return options;
}

double slack_of(double objective) {
    return tie * std::max(1.0, std::abs(objective));
}

std::vector<Term> objective_terms(const Mip& model) {
    std::vector<Term> terms;
    for (std::size_t i = 0; i < model.columns().size(); ++i)
        if (model.columns()[i].cost != 0.0) terms.push_back({static_cast<int>(i), model.columns()[i].cost});
    return terms;
}

void clear_costs(Mip& model) {
    for (std::size_t i = 0; i < model.columns().size(); ++i) model.set_cost(static_cast<int>(i), 0.0);
}

// The fewest lots left with a crumb; the model is held to that many.
bool hold_crumbs(SubstitutionModel& model, const MipOptions& limits) {
    std::vector<Term> crumbs;
    for (const int column : model.crumb)
        if (column >= 0) crumbs.push_back({column, 1.0});
    if (crumbs.empty()) return true;
    Mip counting = model.mip;
    clear_costs(counting);
    for (const Term& term : crumbs) counting.set_cost(term.column, 1.0);
    const MipAnswer fewest = solve(counting, options_for(counting, limits));
    if (!fewest.found()) return false;
    model.mip.row("fewest crumbs", crumbs, -no_limit, std::round(fewest.objective));
    return true;
}

// Among answers as good as the best: the fewest takes, then the oldest stock.
std::vector<double> break_ties(const SubstitutionCase& c, const SubstitutionModel& model, const MipAnswer& best,
                               const MipOptions& limits) {
    Mip tied = model.mip;
    tied.row("as good", objective_terms(tied), -no_limit, best.objective + slack_of(best.objective));
    clear_costs(tied);
    double most = 0.0; // of the sum of kg days
    for (std::size_t i = 0; i < c.lines.size(); ++i)
        for (std::size_t k = 0; k < c.lines[i].candidates.size(); ++k)
            most +=
                tied.columns()[std::size_t(model.mass[i][k])].high * std::abs(c.lines[i].candidates[k].days_to_best);
    for (std::size_t i = 0; i < c.lines.size(); ++i)
        for (std::size_t k = 0; k < c.lines[i].candidates.size(); ++k) {
            tied.set_cost(model.taken[i][k], 1.0);
            if (most > 0.0) tied.set_cost(model.mass[i][k], 0.4 * c.lines[i].candidates[k].days_to_best / most);
        }
    MipOptions options = options_for(tied, limits);
    const bool is_small = tied.columns().size() < small;
    options.most_nodes = std::min(options.most_nodes, is_small ? 2000 : 20);
    options.seconds *= share_of_ties;
    options.relative_gap = is_small ? 1e-5 : 0.02;
    const MipAnswer answer = solve(tied, options);
    return answer.found() ? answer.values : best.values;
}

// Which lots a brewer would reach for first: the line's own, then the nearest, oldest first, until the target is there.
std::vector<std::vector<bool>> first_reach(const SubstitutionCase& c) {
    std::vector<double> left;
    for (const CaseLot& lot : c.lots) left.push_back(lot.free_kg);
    std::vector<std::vector<bool>> reach;
    for (const CaseLine& line : c.lines) {
        std::vector<std::size_t> order(line.candidates.size());
        for (std::size_t k = 0; k < order.size(); ++k) order[k] = k;
        std::ranges::stable_sort(order, {}, [&](std::size_t k) {
            return std::pair(line.candidates[k].distance, line.candidates[k].days_to_best);
        });
        auto& taken = reach.emplace_back(order.size(), false);
        double wanted = line.target;
        for (const std::size_t k : order) {
            const double counts = line.counts(line.candidates[k]);
            double& free = left[line.candidates[k].lot];
            if (wanted <= 1e-9 || free <= 1e-9 || counts <= 0.0) continue;
            const double take = std::min(free, wanted / counts);
            taken[k] = true;
            free -= take;
            wanted -= take * counts;
        }
    }
    return reach;
}

MipAnswer solve_first_reach(const SubstitutionCase& c, const SubstitutionModel& model, const MipOptions& limits) {
    const auto reach = first_reach(c);
    Mip held = model.mip;
    for (std::size_t i = 0; i < reach.size(); ++i)
        for (std::size_t k = 0; k < reach[i].size(); ++k)
            if (!reach[i][k]) held.set_bounds(model.taken[i][k], 0.0, 0.0);
    MipOptions options = options_for(held, limits);
    options.seconds = no_limit; // what is there at once comes first
    options.most_nodes = 200;
    options.stop = nullptr;
    return solve(held, options);
}

// Whole weigh steps about the continuous answer, its takes kept; where that will not do, or leaves a gap that another
// choice might close, with every choice open.
MipAnswer in_whole_steps(const SubstitutionModel& continuous, const std::vector<double>& values,
                         const SubstitutionModel& stepped, double bound, const MipOptions& limits) {
    Mip near = stepped.mip;
    for (std::size_t i = 0; i < continuous.mass.size(); ++i)
        for (std::size_t k = 0; k < continuous.mass[i].size(); ++k) {
            const double taken = std::round(values[std::size_t(continuous.taken[i][k])]);
            near.set_bounds(stepped.taken[i][k], taken, taken);
            const double mass = values[std::size_t(continuous.mass[i][k])];
            const double high = stepped.mip.columns()[std::size_t(stepped.mass[i][k])].high;
            if (taken > 0.5)
                near.set_bounds(stepped.mass[i][k], std::clamp(mass - rounding_window, 0.0, high),
                                std::min(high, mass + rounding_window));
            else
                near.set_bounds(stepped.mass[i][k], 0.0, 0.0);
        }
    MipOptions options = options_for(near, limits);
    const bool is_small = near.columns().size() < small;
    options.relative_gap = options.absolute_gap = 0.05 * proven_gap;
    options.most_nodes = std::min(options.most_nodes, is_small ? 3000 : 400);
    options.seconds = std::max(1.0, options.seconds * share_of_steps);
    options.stop = nullptr; // an interrupted search still ends in masses that can be weighed
    if (!is_small) options.good_enough = bound + 0.9 * proven_gap * std::max(1.0, std::abs(bound));
    MipAnswer answer = solve(near, options);
    const auto gap = [&](const MipAnswer& a) { return (a.objective - bound) / std::max(1.0, std::abs(a.objective)); };
    if (answer.found() && gap(answer) <= proven_gap) return answer;
    if (answer.found() && limits.stop != nullptr && limits.stop->load()) return answer;
    options.stop = limits.stop;
    const MipAnswer open = solve(stepped.mip, options);
    return open.found() && (!answer.found() || open.objective < answer.objective) ? open : answer;
}

Solved as_solved(const SubstitutionCase& c, const SubstitutionModel& model, const MipAnswer& answer, double bound) {
    Solved out;
    out.found = true;
    out.objective = answer.objective;
    out.bound = std::min(bound, answer.objective);
    for (std::size_t i = 0; i < c.lines.size(); ++i)
        for (std::size_t k = 0; k < c.lines[i].candidates.size(); ++k) {
            const double mass = answer.values[std::size_t(model.mass[i][k])];
            const double whole_mg = std::round(mass * 1e6) / 1e6;
            if (whole_mg <= 1e-6) continue;
            const CaseLine& line = c.lines[i];
            out.lines.push_back({c.brews[line.brew].brew->code, line.line, line.item->name,
                                 c.lots[line.candidates[k].lot].state->lot.code, whole_mg});
        }
    for (std::size_t b = 0; b < c.brews.size(); ++b)
        out.scale[c.brews[b].brew->code] = model.scale.empty() ? 1.0 : answer.values[std::size_t(model.scale[b])];
    for (const int crumb : model.crumb)
        if (crumb >= 0 && answer.values[std::size_t(crumb)] > 0.5) ++out.crumbs;
    return out;
}

bool is_infeasible(const Mip& model, const MipOptions& limits) {
    Mip any = model;
    clear_costs(any);
    MipOptions options = options_for(any, limits);
    options.most_nodes = std::min(options.most_nodes, 2000);
    return solve(any, options).status == MipStatus::infeasible;
}

} // namespace

Solved solve_kind(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, const MipOptions& limits) {
    ModelOptions options{.kind = kind, .allow_crumbs = leniency.crumbs};
    SubstitutionModel continuous = substitution_model(c, options);
    options.steps = true;
    SubstitutionModel stepped = substitution_model(c, options);
    Solved none;
    if (leniency.crumbs && (!hold_crumbs(continuous, limits) || !hold_crumbs(stepped, limits))) return none;
    MipOptions first = options_for(continuous.mip, limits);
    first.seconds *= 1.0 - share_of_ties - 2.0 * share_of_steps;
    MipAnswer best = solve(continuous.mip, first);
    const double bound = best.bound;
    none.stopped = best.status == MipStatus::stopped;
    if (!best.found() && none.stopped) best = solve_first_reach(c, continuous, limits);
    if (!best.found()) return none;
    const auto values = best.status == MipStatus::optimal ? break_ties(c, continuous, best, limits) : best.values;
    const MipAnswer answer = in_whole_steps(continuous, values, stepped, bound, limits);
    if (!answer.found()) {
        none.stopped = none.stopped || answer.status == MipStatus::stopped;
        return none;
    }
    return as_solved(c, stepped, answer, bound);
}

std::vector<std::string> clashing_rules(const SubstitutionCase& c, const MipOptions& limits) {
    const SubstitutionModel model =
        substitution_model(c, {.kind = AnswerKind::oldest, .allow_crumbs = true, .loose_bounds = true});
    Mip kept = model.mip;
    if (!is_infeasible(kept, limits)) return {};
    std::vector<bool> needed(model.rules.size(), true);
    const auto without = [&](auto which) {
        Mip trial = kept;
        for (std::size_t r = 0; r < model.rules.size(); ++r)
            if (needed[r] && which(r))
                for (const int row : model.rules[r].rows) trial.drop_row(row);
        if (!is_infeasible(trial, limits)) return;
        kept = std::move(trial);
        for (std::size_t r = 0; r < model.rules.size(); ++r)
            if (which(r)) needed[r] = false;
    };
    // a whole brew at a time first: most have no part in the clash
    for (std::size_t b = 0; b <= c.brews.size(); ++b) without([&](std::size_t r) { return model.rules[r].brew == b; });
    for (std::size_t one = 0; one < model.rules.size(); ++one)
        if (needed[one]) without([&](std::size_t r) { return r == one; });
    std::vector<std::string> words;
    for (std::size_t r = 0; r < model.rules.size(); ++r)
        if (needed[r]) words.push_back(model.rules[r].words);
    return words;
}

} // namespace lotwort::plan
