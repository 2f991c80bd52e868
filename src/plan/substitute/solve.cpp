#include "solve.hpp"
#include "steps.hpp"
#include "thin.hpp"
#include "windows.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>

namespace lotwort::plan {

namespace {

constexpr double tie = 1e-6; // of the objective: no difference to a brewer
// of the seconds, where they are limited: the rest is the continuous search's
constexpr double share_of_ties = 0.1, share_of_steps = 0.25, share_of_a_round = 0.4;
constexpr double share_of_windows = 0.15, share_of_masses = 0.5,
                 many_seconds = 30.0; // of many brews, before all are looked at at once
constexpr double enough_of_many = 0.005, poor_gap = 0.02;
constexpr double most_seconds = 1e6;              // where they are not limited
constexpr std::size_t large_case = 2000;          // takes: above, they are not all opened at once
constexpr std::size_t most_tied = small_model;    // columns: above, ties are left to the linear programme
constexpr std::size_t most_stepped_at_once = 400; // takes: above, brew after brew
constexpr std::size_t kept_beside[] = {2, 8};

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
bool hold_crumbs(SubstitutionModel& model, Budget& budget) {
    std::vector<Term> crumbs;
    for (const int column : model.crumb)
        if (column >= 0) crumbs.push_back({column, 1.0});
    if (crumbs.empty()) return true;
    Mip counting = model.mip;
    clear_costs(counting);
    for (const Term& term : crumbs) counting.set_cost(term.column, 1.0);
    const MipAnswer fewest = budget.solve(counting, options_for(counting, budget.limits()));
    if (!fewest.found()) return false;
    model.mip.row("fewest crumbs", crumbs, -no_limit, std::round(fewest.objective));
    return true;
}

// Among answers as good as the best: the fewest takes, then the oldest stock.
std::vector<double> break_ties(const SubstitutionCase& c, const SubstitutionModel& model, const MipAnswer& best,
                               Budget& budget) {
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
    MipOptions options = options_for(tied, budget.limits());
    const bool is_small = tied.columns().size() < small_model;
    options.most_nodes = std::min(options.most_nodes, is_small ? 2000 : 20);
    options.seconds *= share_of_ties;
    options.relative_gap = is_small ? 1e-5 : 0.02;
    const MipAnswer answer = budget.solve(tied, options);
    return answer.found() ? answer.values : best.values;
}

// With the lots alone that a brewer would reach for first: the line's own, then the nearest, oldest first, until the
// target is there.
SubstitutionCase first_reach(const SubstitutionCase& c) {
    std::vector<double> left;
    for (const CaseLot& lot : c.lots) left.push_back(lot.free_kg);
    SubstitutionCase reach = c;
    for (CaseLine& line : reach.lines) {
        std::vector<std::size_t> order(line.candidates.size());
        for (std::size_t k = 0; k < order.size(); ++k) order[k] = k;
        std::ranges::stable_sort(order, {}, [&](std::size_t k) {
            return std::pair(line.candidates[k].distance, line.candidates[k].days_to_best);
        });
        std::vector<Candidate> taken;
        double wanted = line.target;
        for (const std::size_t k : order) {
            const double counts = line.counts(line.candidates[k]);
            double& free = left[line.candidates[k].lot];
            if (wanted <= 1e-9 || free <= 1e-9 || counts <= 0.0) continue;
            const double take = std::min(free, wanted / counts);
            taken.push_back(line.candidates[k]);
            free -= take;
            wanted -= take * counts;
        }
        line.candidates = std::move(taken);
    }
    return reach;
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

void keep_better(Solved& best, Solved&& other) {
    other.stopped = other.stopped || best.stopped;
    if (other.found && (!best.found || other.objective < best.objective))
        best = std::move(other);
    else
        best.stopped = other.stopped;
}

bool is_proven(const Solved& solved, double bound) {
    return solved.found && gap_of(solved.objective, bound) <= proven_gap;
}

std::size_t takes_of(const SubstitutionCase& c) {
    std::size_t takes = 0;
    for (const CaseLine& line : c.lines) takes += line.candidates.size();
    return takes;
}

// The two models of a case, the second in weigh steps.
struct Models {
    SubstitutionModel continuous, stepped;
};

std::optional<Models> models_of(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, bool lone_ends,
                                Budget& budget) {
    ModelOptions options{.kind = kind, .allow_crumbs = leniency.crumbs, .lone_ends = lone_ends};
    Models made;
    made.continuous = substitution_model(c, options);
    options.steps = true;
    made.stepped = substitution_model(c, options);
    if (leniency.crumbs && (!hold_crumbs(made.continuous, budget) || !hold_crumbs(made.stepped, budget)))
        return std::nullopt;
    return made;
}

// A case of few choices, held against a bound of the case it was cut from.
struct Within {
    Solved solved;
    double continuous = no_limit; // the objective of the masses before they were put into steps
};

Within solve_within(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, double bound, double seconds,
                    Budget& budget) {
    // many brews are put into steps one by one, and need room to be rounded in
    const bool at_once = takes_of(c) < most_stepped_at_once;
    const SubstitutionCase roomy = at_once ? SubstitutionCase{} : with_room(c);
    const auto models = models_of(c, kind, leniency, true, budget);
    const auto eased = at_once ? models : models_of(roomy, kind, leniency, true, budget);
    Within out;
    if (!models || !eased) return out;
    const SubstitutionModel& continuous = eased->continuous;
    MipOptions first = options_for(continuous.mip, budget.limits());
    first.seconds = seconds;
    if (!std::isfinite(seconds))
        first.good_enough = no_limit; // any answer will do, and at once
    else if (std::isfinite(bound))
        first.good_enough = bound + 0.2 * proven_gap * std::max(1.0, std::abs(bound));
    const MipAnswer best = budget.solve_to_the_end(continuous.mip, first);
    out.solved.stopped = best.status == MipStatus::stopped;
    if (!best.found()) return out;
    out.continuous = best.objective;
    const bool ties = continuous.mip.columns().size() < most_tied && !budget.is_interrupted();
    const auto values = ties ? break_ties(c, continuous, best, budget) : best.values;
    MipAnswer answer = at_once ? steps_near(continuous, values, models->stepped, bound, budget) : MipAnswer{};
    if (!answer.found()) answer = steps_by_brew(c, continuous, values, models->stepped, eased->stepped, bound, budget);
    if (answer.found()) out.solved = as_solved(c, models->stepped, answer, bound);
    return out;
}

// Every choice open at once.
Solved solve_whole(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, Budget& budget) {
    Solved none;
    const auto models = models_of(c, kind, leniency, false, budget);
    if (!models) return none;
    MipOptions first = options_for(models->continuous.mip, budget.limits());
    first.seconds *= 1.0 - share_of_ties - 2.0 * share_of_steps;
    const MipAnswer best = budget.solve(models->continuous.mip, first);
    none.stopped = best.status == MipStatus::stopped;
    none.bound = best.bound;
    if (!best.found()) return none;
    const bool ties = best.status == MipStatus::optimal && models->continuous.mip.columns().size() < most_tied;
    const auto values = ties ? break_ties(c, models->continuous, best, budget) : best.values;
    MipAnswer answer = steps_near(models->continuous, values, models->stepped, best.bound, budget);
    const bool proven = answer.found() && gap_of(answer.objective, best.bound) <= proven_gap;
    if (!proven && !(answer.found() && budget.is_interrupted())) {
        const MipAnswer open = steps_open(models->stepped, best.bound, budget);
        if (open.found() && (!answer.found() || open.objective < answer.objective)) answer = open;
    }
    if (answer.found()) return as_solved(c, models->stepped, answer, best.bound);
    none.stopped = none.stopped || answer.status == MipStatus::stopped;
    return none;
}

// Where the masses are as good as can be already, and only their steps could be better.
Solved solve_steps(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, double bound, Budget& budget) {
    Solved none;
    const auto models = models_of(c, kind, leniency, false, budget);
    if (!models) return none;
    const MipAnswer open = steps_open(models->stepped, bound, budget);
    none.stopped = open.status == MipStatus::stopped;
    return open.found() ? as_solved(c, models->stepped, open, bound) : none;
}

void tell(const Solved& best, double bound, const MipOptions& limits) {
    if (limits.progress && best.found) limits.progress({best.objective, bound, 0});
}

// The bound of masses alone, and answers among the takes worth thinking of; among more where those give none.
Solved solve_thinned(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, Budget& budget) {
    Solved best;
    for (const std::size_t more : kept_beside) {
        const Thinned thin = thinned(c, c, kind, more, budget);
        best.stopped = best.stopped || thin.status == MipStatus::stopped;
        if (thin.status != MipStatus::optimal) return best;
        Within within = solve_within(thin.kept, kind, leniency, thin.bound,
                                     share_of_a_round * std::min(budget.limits().seconds, most_seconds), budget);
        keep_better(best, std::move(within.solved));
        best.bound = thin.bound;
        tell(best, thin.bound, budget.limits());
        if (is_proven(best, best.bound) || budget.is_interrupted()) break;
        if (within.continuous - thin.bound <= 0.1 * proven_gap * std::max(1.0, std::abs(thin.bound))) {
            keep_better(best, solve_steps(c, kind, leniency, thin.bound, budget));
            best.bound = thin.bound;
            best.searched = true;
        }
        if (best.found) break;
    }
    return best;
}

} // namespace

Solved solve_alone(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, double bound, Budget& budget) {
    return solve_within(c, kind, leniency, bound, budget.limits().seconds, budget).solved;
}

Solved solve_together(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, double bound,
                      Budget& budget) {
    Solved none;
    const auto models = models_of(c, kind, leniency, true, budget);
    if (!models) return none;
    MipOptions first = options_for(models->continuous.mip, budget.limits());
    if (std::isfinite(bound)) first.good_enough = bound + 0.2 * proven_gap * std::max(1.0, std::abs(bound));
    const MipAnswer best = budget.solve(models->continuous.mip, first);
    none.stopped = best.status == MipStatus::stopped;
    if (!best.found()) return none;
    const MipAnswer answer = steps_near(models->continuous, best.values, models->stepped, bound, budget);
    return answer.found() ? as_solved(c, models->stepped, answer, bound) : none;
}

namespace {

// What all brews would take, not in steps yet, among the takes worth thinking of; with room to round them in.
std::vector<AnswerLine> masses_of_all(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency,
                                      Budget& budget) {
    const SubstitutionCase roomy = with_room(c);
    const Thinned thin = thinned(c, roomy, kind, kept_beside[0], budget);
    if (thin.status != MipStatus::optimal) return {};
    const SubstitutionCase kept = with_room(thin.kept);
    const SubstitutionModel model =
        substitution_model(kept, {.kind = kind, .allow_crumbs = leniency.crumbs, .lone_ends = true});
    MipOptions options = options_for(model.mip, budget.limits());
    options.seconds = share_of_masses * std::min(budget.left(), many_seconds);
    options.good_enough = thin.bound + 2.0 * proven_gap * std::max(1.0, std::abs(thin.bound));
    const MipAnswer best = budget.solve(model.mip, options);
    return best.found() ? as_solved(kept, model, best, thin.bound).lines : std::vector<AnswerLine>{};
}

// Many brews: one after the other, there at once; then a few together, again and again; where that stays poor, all of
// them, and a few together again from what that comes to.
Solved solve_many(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, Budget& budget) {
    Windows windows(c, kind, leniency, budget);
    Solved best;
    best.bound = linear_bound(c, kind);
    if (!std::isfinite(best.bound)) return best;
    best.stopped = true; // until there is an answer
    const auto note = [&] {
        const double bound = best.bound;
        best = windows.solved();
        best.bound = bound;
        best.stopped = !best.found;
        tell(best, bound, budget.limits());
    };
    if (windows.fill()) {
        budget.has_answer();
        note();
        windows.improve(best.bound, enough_of_many, share_of_windows * std::min(budget.left(), many_seconds));
        note();
        if (gap_of(best.objective, best.bound) <= poor_gap) return best;
    }
    if (budget.is_interrupted()) return best;
    const auto masses = masses_of_all(c, kind, leniency, budget);
    Windows guided(c, kind, leniency, budget);
    if (!masses.empty() && guided.fill(masses)) windows.adopt(guided.solved());
    if (!windows.is_filled()) return best;
    windows.improve(best.bound, enough_of_many);
    note();
    return best;
}

Solved solve_few(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, Budget& budget) {
    Solved best;
    if (2 * takes_of(c) >= small_model) {
        Solved first;
        if (Windows windows(c, kind, leniency, budget); c.brews.size() > 1 && windows.fill()) {
            first = windows.solved(); // there at once, whatever the seconds
            budget.has_answer();
        }
        best = solve_thinned(c, kind, leniency, budget);
        if (first.found && (!best.found || first.objective < best.objective)) {
            first.bound = best.bound;
            first.stopped = best.stopped;
            first.searched = best.searched;
            best = std::move(first);
        }
        const bool impossible = !best.found && !best.stopped && best.bound == -no_limit;
        if (impossible || is_proven(best, best.bound) || budget.is_interrupted()) return best;
    }
    if (!(best.found && best.searched)) { // every choice open
        Solved whole = solve_whole(c, kind, leniency, budget);
        const double bound = std::max(best.bound, whole.bound);
        keep_better(best, std::move(whole));
        best.bound = best.found ? std::min(bound, best.objective) : bound;
    }
    if (!best.found && best.stopped) { // what a brewer would reach for
        const double bound = best.bound;
        keep_better(best, solve_within(first_reach(c), kind, leniency, bound, no_limit, budget).solved);
        best.bound = bound;
    }
    if (best.found && !std::isfinite(best.bound)) best.bound = linear_bound(c, kind);
    return best;
}

} // namespace

Solved solve_kind(const SubstitutionCase& c, AnswerKind kind, const Leniency& leniency, const MipOptions& limits) {
    Budget budget(limits);
    Solved solved =
        takes_of(c) >= large_case ? solve_many(c, kind, leniency, budget) : solve_few(c, kind, leniency, budget);
    solved.seconds = budget.used();
    return solved;
}

} // namespace lotwort::plan
