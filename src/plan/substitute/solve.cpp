#include "solve.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numeric>

namespace lotwort::plan {

namespace {

constexpr double tie = 1e-6; // of the objective: no difference to a brewer

// The holes of the brews of one group; lots of which another group takes are not in it.
struct Group {
    SubstitutionCase part;
    std::vector<std::size_t> holes, brews; // of the whole case
};

// Brews hang together that may take of one lot.
std::vector<Group> groups_of(const SubstitutionCase& c) {
    std::vector<std::size_t> parent(c.brews.size());
    std::iota(parent.begin(), parent.end(), std::size_t{0});
    const auto root = [&](std::size_t b) {
        while (parent[b] != b) b = parent[b];
        return b;
    };
    std::map<std::size_t, std::size_t> first; // brew by lot
    for (const Hole& hole : c.holes)
        for (const Candidate& k : hole.candidates) {
            const auto [at, is_new] = first.emplace(k.lot, hole.brew);
            if (!is_new) parent[root(hole.brew)] = root(at->second);
        }
    for (std::size_t b = 0; b < c.brews.size(); ++b)
        for (const Adjustable& a : c.brews[b].adjustable) {
            const auto [at, is_new] = first.emplace(a.lot, b);
            if (!is_new) parent[root(b)] = root(at->second);
        }
    std::map<std::size_t, Group> by_root;
    std::vector<std::size_t> place(c.brews.size());
    for (std::size_t b = 0; b < c.brews.size(); ++b) {
        Group& group = by_root[root(b)];
        group.part.lots = c.lots;
        place[b] = group.brews.size();
        group.brews.push_back(b);
        group.part.brews.push_back(c.brews[b]);
    }
    for (std::size_t h = 0; h < c.holes.size(); ++h) {
        Group& group = by_root[root(c.holes[h].brew)];
        group.holes.push_back(h);
        group.part.holes.push_back(c.holes[h]);
        group.part.holes.back().brew = place[c.holes[h].brew];
    }
    std::vector<Group> groups;
    for (auto& [at, group] : by_root) groups.push_back(std::move(group));
    return groups;
}

// Among answers as good as the best the oldest stock.
std::vector<double> oldest_of_the_best(const SubstitutionCase& c, const SubstitutionModel& model, const MipAnswer& best,
                                       Budget& budget) {
    Mip tied = model.mip;
    std::vector<Term> objective;
    for (std::size_t i = 0; i < tied.columns().size(); ++i) {
        if (tied.columns()[i].cost != 0.0) objective.push_back({static_cast<int>(i), tied.columns()[i].cost});
        tied.set_cost(static_cast<int>(i), 0.0);
    }
    tied.row("as good", std::move(objective), -no_limit,
             best.objective + tie * std::max(1.0, std::abs(best.objective)));
    double most = 1.0;
    for (std::size_t h = 0; h < c.holes.size(); ++h)
        for (const Candidate& k : c.holes[h].candidates)
            most = std::max(most, std::abs(k.days_to_best) * c.holes[h].target / k.counts);
    for (std::size_t h = 0; h < c.holes.size(); ++h)
        for (std::size_t k = 0; k < c.holes[h].candidates.size(); ++k)
            tied.set_cost(model.mass[h][k], c.holes[h].candidates[k].days_to_best / most);
    MipOptions options = budget.limits();
    options.relative_gap = 1e-4;
    options.most_nodes = std::min(options.most_nodes, 500);
    options.seconds = std::min(options.seconds, 1.0);
    const MipAnswer answer = budget.solve(tied, options);
    return answer.found() ? answer.values : best.values;
}

// Are there two lots that are one to the objective?
bool has_ties(const SubstitutionCase& c, AnswerKind kind) {
    for (const Hole& hole : c.holes) {
        std::vector<double> costs;
        for (const Candidate& k : hole.candidates) costs.push_back(cost_per_kg(c, kind, hole, k) / k.counts);
        std::ranges::sort(costs);
        for (std::size_t i = 1; i < costs.size(); ++i)
            if (costs[i] - costs[i - 1] <= tie * std::max(1.0, std::abs(costs[i]))) return true;
    }
    return false;
}

// Masses in whole steps: every take but one of a hole is rounded, or the whole lot; the one whose lot has most left
// makes up what lacks. A hole is missed by half a step; where that lot ends, by what the others were rounded by as
// well.
class Rounder {
public:
    Rounder(const SubstitutionCase& c, const SubstitutionModel& model, const std::vector<double>& values)
        : case_(c), left_(c.lots.size()) {
        for (std::size_t l = 0; l < c.lots.size(); ++l) left_[l] = c.lots[l].free_kg;
        for (std::size_t h = 0; h < c.holes.size(); ++h)
            for (std::size_t k = 0; k < c.holes[h].candidates.size(); ++k) {
                const double kg = values[std::size_t(model.mass[h][k])];
                if (values[std::size_t(model.taken[h][k])] < 0.5 || kg <= 1e-6) continue;
                takes_.push_back({h, k, kg});
                left_[c.holes[h].candidates[k].lot] -= kg;
            }
    }
    std::vector<Take> run() {
        for (std::size_t from = 0; from < takes_.size();) {
            std::size_t to = from;
            while (to < takes_.size() && takes_[to].hole == takes_[from].hole) ++to;
            round_hole(from, to);
            from = to;
        }
        std::erase_if(takes_, [](const Take& take) { return take.mass_kg <= 1e-9; });
        return std::move(takes_);
    }

private:
    [[nodiscard]] const Candidate& candidate(const Take& take) const {
        return case_.holes[take.hole].candidates[take.candidate];
    }
    // As near to the mass as steps and what is left of the lot allow.
    double fit(Take& take, double wanted) {
        const double step = case_.holes[take.hole].weighing.step_kg;
        double& left = left_[candidate(take).lot];
        const double there = left + take.mass_kg;
        double kg = std::max(0.0, std::round(wanted / step) * step);
        const bool is_whole = wanted > there - 0.5 * step || kg > there + 1e-9;
        const bool alone = std::abs(case_.lots[candidate(take).lot].free_kg - there) < 1e-9;
        if (is_whole) kg = alone ? there : std::floor(there / step + 1e-9) * step;
        kg = std::round(kg * 1e6) / 1e6;
        left = there - kg;
        take.mass_kg = kg;
        return kg * candidate(take).counts;
    }
    void round_hole(std::size_t from, std::size_t to) {
        std::size_t last = from;
        for (std::size_t i = from; i < to; ++i)
            if (left_[candidate(takes_[i]).lot] > left_[candidate(takes_[last]).lot]) last = i;
        double given = 0.0, wanted = 0.0;
        for (std::size_t i = from; i < to; ++i) wanted += takes_[i].mass_kg * candidate(takes_[i]).counts;
        const Hole& hole = case_.holes[takes_[from].hole];
        for (std::size_t i = from; i < to; ++i)
            if (i != last) given += fit(takes_[i], takes_[i].mass_kg);
        fit(takes_[last], last_kg(hole, candidate(takes_[last]), wanted - given, hole.target - given));
    }
    // The step nearest to what the model gives; where no other line makes up for it, one that keeps to the target.
    [[nodiscard]] double last_kg(const Hole& hole, const Candidate& k, double wanted, double target) const {
        const double step = hole.weighing.step_kg;
        double kg = std::round(wanted / k.counts / step) * step;
        if (!case_.brews[hole.brew].adjustable.empty()) return kg;
        if (kg * k.counts < target - hole.tolerance - 1e-12) kg += step;
        if (kg * k.counts > target + hole.tolerance + 1e-12) kg -= step;
        return kg;
    }

    const SubstitutionCase& case_;
    std::vector<double> left_;
    std::vector<Take> takes_;
};

// Small shortages to the last digit; of many brews that take of the same lots a part in two thousand is enough.
MipOptions options_for(const MipOptions& limits, const SubstitutionCase& c) {
    constexpr std::size_t small = 12; // holes
    MipOptions options = limits;
    options.relative_gap = c.holes.size() <= small ? 1e-7 : 5e-4;
    options.absolute_gap = 1e-7;
    return options;
}

// Of the masses as they were solved, without what missing a target cost.
double objective_of(const SubstitutionCase& c, AnswerKind kind, const SubstitutionModel& model,
                    const std::vector<double>& values) {
    double sum = 0.0;
    for (std::size_t h = 0; h < c.holes.size(); ++h)
        for (std::size_t k = 0; k < c.holes[h].candidates.size(); ++k) {
            sum += cost_per_kg(c, kind, c.holes[h], c.holes[h].candidates[k]) * values[std::size_t(model.mass[h][k])];
            if (kind == AnswerKind::nearest) sum += c.holes[h].per_take * values[std::size_t(model.taken[h][k])];
        }
    return sum;
}

} // namespace

Solved solve_holes(const SubstitutionCase& c, AnswerKind kind, Budget& budget) {
    Solved out;
    out.left.assign(c.brews.size(), true);
    for (const Group& group : groups_of(c)) {
        if (group.holes.empty()) continue; // nothing to fill it with
        const SubstitutionModel model = substitution_model(group.part, {.kind = kind});
        const MipAnswer best = budget.solve(model.mip, options_for(budget.limits(), group.part));
        out.stopped = out.stopped || best.status == MipStatus::stopped;
        if (!best.found()) continue;
        const auto values = best.status == MipStatus::optimal && has_ties(group.part, kind) && !budget.is_interrupted()
                                ? oldest_of_the_best(group.part, model, best, budget)
                                : best.values;
        const double objective = objective_of(group.part, kind, model, values);
        out.objective += objective;
        out.bound += best.status == MipStatus::optimal
                         ? objective
                         : std::min(objective, objective - (best.objective - best.bound) / model.scale);
        for (std::size_t b = 0; b < group.brews.size(); ++b)
            out.left[group.brews[b]] = values[std::size_t(model.left[b])] > 0.5;
        for (std::size_t b = 0; b < group.brews.size(); ++b)
            for (std::size_t i = 0; i < group.part.brews[b].adjustable.size(); ++i) {
                const Adjustable& a = group.part.brews[b].adjustable[i];
                const double kg = std::round(values[std::size_t(model.moved[b][i])] / a.step_kg) * a.step_kg;
                if (std::abs(kg) > 1e-9 && kg <= c.lots[a.lot].free_kg) out.moved.push_back({group.brews[b], i, kg});
            }
        for (Take take : Rounder(group.part, model, values).run()) {
            take.hole = group.holes[take.hole];
            out.takes.push_back(take);
        }
    }
    std::ranges::stable_sort(out.takes, {}, &Take::hole);
    return out;
}

namespace {

// A brew by itself, freed of some rules: can it be filled?
bool is_filled_without(const SubstitutionCase& alone, const std::set<BrewRule>& rules, const MipOptions& limits) {
    const SubstitutionModel model = substitution_model(alone, {AnswerKind::nearest, rules});
    const MipAnswer answer = solve(model.mip, limits);
    return answer.found() && answer.values[std::size_t(model.left[0])] < 0.5;
}

SubstitutionCase alone(const SubstitutionCase& c, std::size_t brew) {
    SubstitutionCase made;
    made.brews = {c.brews[brew]};
    made.lots = c.lots;
    for (const Hole& hole : c.holes)
        if (hole.brew == brew) {
            made.holes.push_back(hole);
            made.holes.back().brew = 0;
        }
    return made;
}

// The item of a hole that its lots together do not fill; empty where each has enough.
std::string too_few_lots(const SubstitutionCase& c) {
    for (const Hole& hole : c.holes) {
        double there = 0.0;
        for (const Candidate& k : hole.candidates) there += c.lots[k.lot].free_kg * k.counts;
        if (there < hole.target - hole.tolerance) return hole.item;
    }
    return {};
}

} // namespace

std::string why_left(const SubstitutionCase& c, std::size_t brew, AnswerKind kind, const MipOptions& limits) {
    const SubstitutionCase one = alone(c, brew);
    if (const std::string item = too_few_lots(one); !item.empty())
        return fmt::format("of what may stand in for {} too little has {}", item,
                           kind == AnswerKind::cheapest ? "a price" : "a best-before date");
    if (is_filled_without(one, {}, limits)) return "other brews that lack take what could fill it";
    struct Barred {
        BrewRule rule;
        const char* words;
    };
    constexpr std::array<Barred, 3> all{{{BrewRule::colour, "miss its colour"},
                                         {BrewRule::enzymes, "have too few enzymes"},
                                         {BrewRule::shares, "be more of the grist than its kind is used at"}}};
    for (const Barred& first : all)
        if (is_filled_without(one, {first.rule}, limits)) return fmt::format("what may stand in would {}", first.words);
    for (std::size_t i = 0; i < all.size(); ++i)
        for (std::size_t j = i + 1; j < all.size(); ++j)
            if (is_filled_without(one, {all[i].rule, all[j].rule}, limits))
                return fmt::format("what may stand in would {} and {}", all[i].words, all[j].words);
    if (is_filled_without(one, {all[0].rule, all[1].rule, all[2].rule}, limits))
        return fmt::format("what may stand in would {}, {} and {}", all[0].words, all[1].words, all[2].words);
    return "its lines that lack want the same lots, and those are too few for all of them";
}

} // namespace lotwort::plan
