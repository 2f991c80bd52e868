#include "suspects.hpp"
#include "answer.hpp"
#include "slips.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/stats/distributions.hpp>

namespace lotwort::infer_detail {

namespace {

constexpr double test_level = 0.05;
constexpr double alike = 0.95; // correlation from which two suspects are named together
constexpr std::size_t most_suspects = 5;
constexpr double nearly_as_strong = 0.8; // of the greatest likelihood ratio
constexpr double hopeless = 1e-6;        // p of a fit that may have been led astray
constexpr double fair = 1e-3;            // p of a fit that an honest brew may have

// Where the solution goes, on the straight line, when equation i is left out: a start close to the answer.
Eigen::VectorXd start_without(const BrewModel& model, const UnknownsOf& unknowns,
                              const stats::LeastSquaresSolution& solution, std::size_t i, double error) {
    const auto k = static_cast<Eigen::Index>(i);
    const Eigen::VectorXd start =
        solution.theta - solution.covariance * (solution.jacobian.transpose() * solution.weight.col(k)) * error;
    return JointBalance(model, unknowns, start).is_a_brew() ? start : solution.theta;
}

bool same_evidence(const stats::LeastSquaresSolution& solution, std::size_t i, std::size_t j) {
    return std::abs(stats::evidence_correlation(solution, static_cast<int>(i), static_cast<int>(j))) >= alike;
}

// A reading left out costs only what it told; an expectation left out lets a wrong reading be believed. So where the
// evidence is the same the reading comes first.
void readings_before_equal_expectations(std::vector<Charge>& charges, const BrewModel& model,
                                        const stats::LeastSquaresSolution& solution) {
    for (std::size_t i = 0; i < charges.size(); ++i) {
        if (!model.equations[charges[i].index].is_expectation) continue;
        for (std::size_t j = i + 1; j < charges.size(); ++j)
            if (!model.equations[charges[j].index].is_expectation &&
                same_evidence(solution, charges[i].index, charges[j].index)) {
                std::rotate(charges.begin() + static_cast<std::ptrdiff_t>(i),
                            charges.begin() + static_cast<std::ptrdiff_t>(j),
                            charges.begin() + static_cast<std::ptrdiff_t>(j + 1));
                break;
            }
    }
}

// Where no brew fits, the line along which evidence is compared leads nowhere: a reading that is nearly as strong a
// suspect as the expectation before it comes first.
void a_reading_first(std::vector<Charge>& charges, const BrewModel& model) {
    const auto reading = std::ranges::find_if(charges, [&](const Charge& charge) {
        return !model.equations[charge.index].is_expectation && charge.drop >= nearly_as_strong * charges.front().drop;
    });
    if (reading != charges.end()) std::rotate(charges.begin(), reading, reading + 1);
}

// The statistic without equation i, and where its search began.
std::pair<double, Eigen::VectorXd> least_without(std::size_t i, const BrewModel& model, const UnknownsOf& unknowns,
                                                 const stats::LeastSquaresProblem& problem,
                                                 const stats::LeastSquaresSolution& solution,
                                                 const std::vector<Limit>& limits) {
    const auto shift = stats::mean_shift(solution, static_cast<int>(i));
    auto others =
        problem_without(problem, model, unknowns, i, start_without(model, unknowns, solution, i, shift.error));
    others.minimum_only = true;
    others.tolerance = 1e-3; // the statistic is then right to its square
    others.max_iterations = 30;
    auto without = stats::solve(others);
    // the search begins at a solution that the slip has bent: from where nothing was read it may end lower
    if (!without.converged || stats::chi_square_upper_tail(without.statistic, 1) < hopeless) {
        auto anew = others;
        anew.start = problem.start;
        auto again = stats::solve(anew);
        if (again.statistic < without.statistic) {
            others = std::move(anew);
            without = std::move(again);
        }
    }
    const auto passes = [&](const Limit& limit) { return limit.a.dot(without.theta) < 0.0; };
    if (std::ranges::none_of(limits, passes)) return {without.statistic, others.start};
    others.minimum_only = false;
    others.tolerance = problem.tolerance;
    others.max_iterations = problem.max_iterations;
    return {solve_within(others, limits).solution.statistic, others.start};
}

// Where leaving one out lets the rest agree, nobody else is to blame whose absence leaves them hopeless.
void without_bystanders(std::vector<Charge>& charges, const stats::LeastSquaresSolution& solution) {
    const int degrees = std::max(1, solution.degrees_of_freedom - 1);
    const auto p_without = [&](const Charge& charge) {
        return stats::chi_square_upper_tail(std::max(0.0, solution.statistic - charge.drop), degrees);
    };
    if (charges.empty() || p_without(charges.front()) < fair) return;
    std::erase_if(charges, [&](const Charge& charge) { return p_without(charge) < hopeless; });
}

} // namespace

std::vector<Charge> charges_of(const BrewModel& model, const UnknownsOf& unknowns,
                               const stats::LeastSquaresProblem& problem, const Limited& as_read) {
    const auto limits = limits_of(model, unknowns);
    const auto& solution = as_read.solution;
    std::vector<Charge> charges;
    for (std::size_t i = 0; i < model.equations.size(); ++i) {
        auto [least, start] = least_without(i, model, unknowns, problem, solution, limits);
        const double drop = solution.statistic - least;
        if (drop > 0.0 && stats::chi_square_upper_tail(drop, 1) < test_level)
            charges.push_back({i, drop, std::move(start)});
    }
    std::ranges::stable_sort(charges, std::greater{}, &Charge::drop);
    readings_before_equal_expectations(charges, model, solution);
    if (!charges.empty() && !is_settled(as_read, limits)) a_reading_first(charges, model);
    without_bystanders(charges, solution);
    if (charges.size() > most_suspects) charges.resize(most_suspects);
    return charges;
}

namespace {

const BrewEquation* first_read(const BrewModel& model, std::size_t brew, Quantity quantity, bool volume) {
    const auto found = std::ranges::find_if(model.equations, [&](const BrewEquation& e) {
        return !e.is_expectation && e.brew == brew && e.quantity == quantity && (e.kind != "gravity") == volume;
    });
    return found == model.equations.end() ? nullptr : &*found;
}

const BrewEquation* first_read(const BrewModel&&, std::size_t, Quantity, bool) = delete;

// More litres in the fermenter than in the full kettle, and weaker: the boil does the opposite.
bool is_swapped(const BrewModel& model, std::size_t brew) {
    const auto read = [&](Quantity quantity, bool volume) { return first_read(model, brew, quantity, volume); };
    const auto *kettle = read(Quantity::kettle_full, true), *fermenter = read(Quantity::fermenter, true);
    const auto *strong = read(Quantity::kettle_full, false), *weak = read(Quantity::fermenter, false);
    return kettle && fermenter && strong && weak && !first_read(model, brew, Quantity::top_up, true) &&
           fermenter->observed > kettle->observed && strong->scale == weak->scale && weak->observed < strong->observed;
}

void say_swapped(const BrewModel& model, const BrewEquation& e, Suspect& s) {
    const bool of_them = e.quantity == Quantity::top_up || e.quantity == Quantity::kettle_full ||
                         e.quantity == Quantity::fermenter || e.quantity == Quantity::boil_off;
    if (!of_them || !is_swapped(model, e.brew)) return;
    s.is_swapped = true;
    s.looks_like.insert(s.looks_like.begin(),
                        fmt::format("the lines of kettle-full ({}) and fermenter ({}) swapped: set both aside, and "
                                    "book each at the other's point",
                                    first_read(model, e.brew, Quantity::kettle_full, true)->id,
                                    first_read(model, e.brew, Quantity::fermenter, true)->id));
}

Suspect suspect_of(const Charge& charge, const BrewModel& model, const UnknownsOf& unknowns,
                   const stats::LeastSquaresProblem& problem, const stats::LeastSquaresSolution& solution) {
    const auto others = problem_without(problem, model, unknowns, charge.index, charge.start);
    const auto limits = limits_of(model, unknowns);
    const auto without = solve_within(others, limits);
    const auto& e = model.equations[charge.index];
    // what the others say it should have read, and how well they know it
    const Traced should = JointBalance(model, unknowns, without.solution.theta).predicted(e);
    Suspect s;
    s.reading = e.id;
    s.point = e.point;
    s.kind = e.kind;
    s.unit = e.unit;
    s.is_expectation = e.is_expectation;
    s.likely_error = e.observed - should.value;
    s.likely_error_sd =
        std::sqrt(e.sd() * e.sd() + std::max(0.0, should.slope.dot(without.solution.covariance * should.slope)));
    s.p_value = stats::chi_square_upper_tail(charge.drop, 1);
    for (std::size_t j = 0; j < model.equations.size(); ++j)
        if (j != charge.index && same_evidence(solution, charge.index, j))
            s.cannot_be_told_from.push_back(fmt::format("{} {}", model.equations[j].id, model.equations[j].kind));
    s.looks_like = looks_like(e, s.likely_error, s.likely_error_sd);
    say_swapped(model, e, s);
    const bool is_liquor_added = e.quantity == Quantity::top_up || e.quantity == Quantity::kettle_liquor;
    const Quantity into = e.quantity == Quantity::top_up ? Quantity::fermenter : Quantity::kettle_full;
    for (const bool volume : {true, false})
        if (const auto* read = first_read(model, e.brew, into, volume); is_liquor_added && read && s.in_reading.empty())
            s.in_reading = read->id;
    if (is_settled(without, limits)) {
        s.efficiencies_without = efficiencies_at(model, unknowns, without);
    } else {
        const Estimated none{std::nullopt, "no brew fits what is left either"};
        s.efficiencies_without = {none, none, none, none, none};
    }
    s.test_without = test_of(without.solution);
    return s;
}

} // namespace

std::vector<Suspect> suspects_of(const std::vector<Charge>& charges, const BrewModel& model, const UnknownsOf& unknowns,
                                 const stats::LeastSquaresProblem& problem, const Limited& as_read) {
    std::vector<Suspect> out;
    for (const auto& charge : charges) out.push_back(suspect_of(charge, model, unknowns, problem, as_read.solution));
    return out;
}

} // namespace lotwort::infer_detail
