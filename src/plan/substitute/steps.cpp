#include "steps.hpp"
#include <algorithm>
#include <cmath>
#include <numeric>

namespace lotwort::plan {

namespace {

constexpr double share_of_steps = 0.25; // of the seconds, where they are limited
constexpr double most_seconds_a_brew = 2.0, most_seconds_again = 10.0;
constexpr std::size_t most_again = 4;   // brews
constexpr double rounding_window = 0.3; // kg about the continuous mass

// One pass over the brews.
class ByBrew {
public:
    ByBrew(const SubstitutionCase& c, const SubstitutionModel& stepped, const SubstitutionModel& roomy, double bound,
           Budget& budget)
        : case_(c), stepped_(stepped), bound_(bound), budget_(budget), now_(roomy.mip) {}

    MipAnswer run(const SubstitutionModel& continuous, const std::vector<double>& values) {
        start(continuous, values);
        const double start_at = continuous.mip.objective_of(values);
        begun_ = std::max(bound_, std::min(start_at, bound_ + 5.0 * proven_gap * std::max(1.0, std::abs(bound_))));
        std::vector<std::size_t> order(case_.brews.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::ranges::stable_sort(order, {}, [&](std::size_t b) { return case_.brews[b].brew->date; });
        MipAnswer last;
        for (std::size_t i = 0; i < order.size(); ++i) {
            // what rounding may cost in all, so much of it as this many brews may have used up
            const double allowed = 0.8 * proven_gap * double(i + 1) / double(order.size());
            good_enough_ = begun_ + allowed * std::max(1.0, std::abs(begun_));
            last = put_into_steps(order, i);
            if (!last.found()) return last;
        }
        return last;
    }

private:
    void start(const SubstitutionModel& continuous, const std::vector<double>& values);
    MipAnswer put_into_steps(const std::vector<std::size_t>& order, std::size_t at);
    MipAnswer solved(const Mip& open, int most_nodes, double seconds);
    void ask_in_full(std::size_t brew);
    void open_takes(Mip& open, std::size_t brew) const;
    void ask_for_steps(Mip& open, std::size_t brew) const;
    void hold_takes(const MipAnswer& answer, const std::vector<std::size_t>& order, std::size_t from);
    void settle(std::size_t brew, const MipAnswer& answer);
    template <class Each>
    void each_take(std::size_t brew, Each each) const {
        for (std::size_t i = 0; i < case_.lines.size(); ++i)
            if (case_.lines[i].brew == brew)
                for (std::size_t k = 0; k < case_.lines[i].candidates.size(); ++k) each(i, k);
    }
    void hold(int column, double value) {
        if (column >= 0) now_.set_bounds(column, value, value);
    }
    void open_as_built(Mip& open, int column) const {
        if (column < 0) return;
        const MipColumn& as_built = stepped_.mip.columns()[std::size_t(column)];
        open.set_bounds(column, as_built.low, as_built.high);
    }

    const SubstitutionCase& case_;
    const SubstitutionModel& stepped_;
    double bound_, begun_ = 0.0, good_enough_ = -no_limit;
    Budget& budget_;
    Mip now_; // what is settled is held by bounds
};

// Every take as the continuous answer has it, no steps asked for yet.
void ByBrew::start(const SubstitutionModel& continuous, const std::vector<double>& values) {
    for (std::size_t b = 0; b < case_.brews.size(); ++b)
        each_take(b, [&](std::size_t i, std::size_t k) {
            const double taken = std::round(values[std::size_t(continuous.taken[i][k])]);
            hold(stepped_.taken[i][k], taken);
            if (taken < 0.5) hold(stepped_.mass[i][k], 0.0);
            hold(stepped_.steps[i][k].count, 0.0);
            hold(stepped_.steps[i][k].whole_lot, 0.0);
            now_.drop_row(stepped_.steps[i][k].row);
        });
    for (std::size_t l = 0; l < case_.lots.size(); ++l)
        for (const auto& [from, to] : {std::pair(continuous.touched[l], stepped_.touched[l]),
                                       std::pair(continuous.emptied[l], stepped_.emptied[l])})
            if (from >= 0 && to >= 0) hold(to, std::round(values[std::size_t(from)]));
}

// The brew's choices as they were built, and those of the lots it may take of.
void ByBrew::open_takes(Mip& open, std::size_t brew) const {
    each_take(brew, [&](std::size_t i, std::size_t k) {
        const std::size_t lot = case_.lines[i].candidates[k].lot;
        for (const int column :
             {stepped_.taken[i][k], stepped_.mass[i][k], stepped_.touched[lot], stepped_.emptied[lot]})
            open_as_built(open, column);
    });
}

void ByBrew::ask_for_steps(Mip& open, std::size_t brew) const {
    each_take(brew, [&](std::size_t i, std::size_t k) {
        open_as_built(open, stepped_.steps[i][k].count);
        open_as_built(open, stepped_.steps[i][k].whole_lot);
        open.set_row(stepped_.steps[i][k].row, 0.0, 0.0);
    });
}

// Only what is open goes to the solver.
MipAnswer ByBrew::solved(const Mip& open, int most_nodes, double seconds) {
    MipOptions options = budget_.limits();
    options.stop = nullptr; // an interrupted search still ends in masses that can be weighed
    options.progress = nullptr;
    options.seconds = seconds;
    options.relative_gap = options.absolute_gap = 0.02 * proven_gap;
    options.most_nodes = std::min(options.most_nodes, most_nodes);
    std::vector<int> kept;
    const Mip rest = open.without_held(kept);
    std::vector<double> values;
    for (const MipColumn& column : open.columns()) values.push_back(column.low);
    for (const int column : kept) values[std::size_t(column)] = 0.0;
    options.good_enough = good_enough_ - open.objective_of(values); // less what the held ones cost
    MipAnswer answer = budget_.solve_to_the_end(rest, options);
    if (!answer.found()) return answer;
    for (std::size_t i = 0; i < kept.size(); ++i) values[std::size_t(kept[i])] = answer.values[i];
    answer.values = std::move(values);
    answer.objective = open.objective_of(answer.values);
    return answer;
}

// The room that was left is the brew's own to round in.
void ByBrew::ask_in_full(std::size_t brew) {
    for (const Rule& rule : stepped_.rules)
        if (rule.brew == brew)
            for (const int row : rule.rows) {
                const MipRow& as_built = stepped_.mip.rows()[std::size_t(row)];
                now_.set_row(row, as_built.low, as_built.high);
            }
}

// Where that cannot be done with the takes of the brews after it, those of the next few are open too, then those of
// all, and a few brews before it are put into steps once more.
MipAnswer ByBrew::put_into_steps(const std::vector<std::size_t>& order, std::size_t at) {
    ask_in_full(order[at]);
    Mip open = now_;
    open_takes(open, order[at]);
    ask_for_steps(open, order[at]);
    MipAnswer answer = solved(open, 50, most_seconds_a_brew);
    for (const std::size_t width : {most_again, order.size()}) {
        if (answer.found()) break;
        const std::size_t first = at < most_again ? 0 : at - most_again;
        const std::size_t end = std::min(order.size(), at + 1 + width);
        for (std::size_t i = at + 1; i < end; ++i) open_takes(open, order[i]);
        for (std::size_t i = first; i < at; ++i) {
            open_takes(open, order[i]);
            ask_for_steps(open, order[i]);
        }
        answer = solved(open, 400, most_seconds_again);
        if (!answer.found()) continue;
        hold_takes(answer, order, at + 1);
        for (std::size_t i = first; i < at; ++i) settle(order[i], answer);
    }
    if (answer.found()) settle(order[at], answer);
    return answer;
}

// What the later brews take of is the answer's from now on.
void ByBrew::hold_takes(const MipAnswer& answer, const std::vector<std::size_t>& order, std::size_t from) {
    for (std::size_t b = from; b < order.size(); ++b)
        each_take(order[b], [&](std::size_t i, std::size_t k) {
            const double taken = answer.values[std::size_t(stepped_.taken[i][k])];
            hold(stepped_.taken[i][k], taken);
            if (taken < 0.5)
                hold(stepped_.mass[i][k], 0.0);
            else
                open_as_built(now_, stepped_.mass[i][k]);
        });
}

void ByBrew::settle(std::size_t brew, const MipAnswer& answer) {
    const auto hold_at = [&](int column) {
        if (column >= 0) hold(column, answer.values[std::size_t(column)]);
    };
    each_take(brew, [&](std::size_t i, std::size_t k) {
        hold_at(stepped_.taken[i][k]);
        // to the last digit: what the solver lets each mass miss by would add up until a lot cannot be emptied
        const Steps& steps = stepped_.steps[i][k];
        const CaseLine& line = case_.lines[i];
        const bool all = steps.whole_lot >= 0 && answer.values[std::size_t(steps.whole_lot)] > 0.5;
        hold(stepped_.mass[i][k], all ? case_.lots[line.candidates[k].lot].free_kg
                                      : line.weighing.step_kg * answer.values[std::size_t(steps.count)]);
    });
    for (std::size_t l = 0; l < case_.lots.size(); ++l) {
        hold_at(stepped_.touched[l]);
        hold_at(stepped_.emptied[l]);
    }
    if (!stepped_.scale.empty()) hold_at(stepped_.scale[brew]);
}

} // namespace

double gap_of(double objective, double bound) {
    return (objective - bound) / std::max(1.0, std::abs(objective));
}

MipOptions options_for(const Mip& model, const MipOptions& limits) {
    MipOptions options = limits;
    options.relative_gap = options.absolute_gap = model.columns().size() < small_model ? 1e-8 : 0.1 * proven_gap;
    return options;
}

namespace {

MipOptions options_for_steps(const Mip& model, double bound, const MipOptions& limits) {
    MipOptions options = options_for(model, limits);
    const bool is_small = model.columns().size() < small_model;
    options.relative_gap = options.absolute_gap = 0.05 * proven_gap;
    options.most_nodes = std::min(options.most_nodes, is_small ? 3000 : 400);
    options.seconds = std::max(1.0, options.seconds * share_of_steps);
    if (!is_small) options.good_enough = bound + 0.9 * proven_gap * std::max(1.0, std::abs(bound));
    return options;
}

} // namespace

MipAnswer steps_near(const SubstitutionModel& continuous, const std::vector<double>& values,
                     const SubstitutionModel& stepped, double bound, Budget& budget) {
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
    MipOptions options = options_for_steps(near, bound, budget.limits());
    options.stop = nullptr; // an interrupted search still ends in masses that can be weighed
    return budget.solve_to_the_end(near, options);
}

SubstitutionCase with_room(const SubstitutionCase& c) {
    constexpr double kept = 0.5; // of each tolerance
    SubstitutionCase out = c;
    for (CaseBrew& brew : out.brews) {
        brew.extract_tolerance_kg *= kept;
        brew.bittering_tolerance *= kept;
        const double narrower = 0.5 * (1.0 - kept) * (brew.colour_high - brew.colour_low);
        brew.colour_low += narrower;
        brew.colour_high -= narrower;
    }
    for (CaseLine& line : out.lines) line.tolerance *= line.kind == LineKind::late ? kept : 0.9;
    return out;
}

MipAnswer steps_open(const SubstitutionModel& stepped, double bound, Budget& budget) {
    return budget.solve(stepped.mip, options_for_steps(stepped.mip, bound, budget.limits()));
}

MipAnswer steps_by_brew(const SubstitutionCase& c, const SubstitutionModel& continuous,
                        const std::vector<double>& values, const SubstitutionModel& stepped,
                        const SubstitutionModel& roomy, double bound, Budget& budget) {
    return ByBrew(c, stepped, roomy, bound, budget).run(continuous, values);
}

} // namespace lotwort::plan
