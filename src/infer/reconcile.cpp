#include "brew_problem.hpp"
#include "equations.hpp"
#include "limits.hpp"
#include "slips.hpp"
#include <algorithm>
#include <cmath>
#include <Eigen/QR>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/stats/distributions.hpp>
#include <lotwort/stats/least_squares.hpp>

namespace lotwort {

namespace {

using namespace infer_detail;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double test_level = 0.05;
constexpr double same_evidence = 0.95; // correlation from which two suspects are named together
constexpr std::size_t most_suspects = 5;

VectorXd gradient_of(const Slopes& x) {
    return Eigen::Map<const VectorXd>(x.slope.data(), static_cast<Index>(unknowns));
}

Estimated estimate_of(const Slopes& x, const Limited& limited) {
    const VectorXd g = gradient_of(x);
    if (!limited.solution.estimable(g)) return {std::nullopt, "no reading and no expectation speaks of it"};
    return {limited.estimate(x.value, g), {}};
}

struct NamedQuantity {
    const char* name;
    Slopes value;
};

std::vector<NamedQuantity> efficiencies_of(const BrewState<Slopes>& s, const BrewBalance<Slopes>& b) {
    return {{"conversion", s.extract_mash_kg / s.extract_grist_kg},
            {"lauter", s.extract_kettle_kg / s.extract_mash_kg},
            {"kettle_yield", s.extract_kettle_kg / s.extract_grist_kg},
            {"transfer", b.extract_collected_kg / b.extract_cast_out_kg},
            {"brewhouse", b.extract_fermenter_kg / s.extract_grist_kg}};
}

std::vector<NamedQuantity> quantities_of(const BrewState<Slopes>& s, const BrewBalance<Slopes>& b) {
    return {{"strike_liquor_l", s.strike_l},
            {"sparge_liquor_l", s.sparge_l},
            {"extract_grist_kg", s.extract_grist_kg},
            {"extract_mash_kg", s.extract_mash_kg},
            {"extract_kettle_kg", s.extract_kettle_kg},
            {"extract_cast_out_kg", b.extract_cast_out_kg},
            {"extract_fermenter_kg", b.extract_fermenter_kg},
            {"wort_retained_l", s.retained_l},
            {"boil_off_l", s.boil_off_l},
            {"kettle_loss_l", s.kettle_loss_l},
            {"top_up_l", s.top_up_l},
            {"kettle_liquor_l", s.kettle_liquor_l},
            {"kettle_full_l", b.kettle_full_l},
            {"cast_out_l", b.cast_out_l},
            {"fermenter_l", b.fermenter_l},
            {"first_wort_sg", wort::specific_gravity_of(b.first_wort_fraction)},
            {"kettle_full_sg", wort::specific_gravity_of(b.kettle_full_fraction)},
            {"cast_out_sg", wort::specific_gravity_of(b.cast_out_fraction)},
            {"original_gravity_sg", wort::specific_gravity_of(b.fermenter_fraction)}};
}

Efficiencies efficiencies_at(const Limited& limited, const BrewFacts& facts) {
    const auto s = state_at(limited.solution.theta);
    const auto e = efficiencies_of(s, balance(s, facts));
    return {estimate_of(e[0].value, limited), estimate_of(e[1].value, limited), estimate_of(e[2].value, limited),
            estimate_of(e[3].value, limited), estimate_of(e[4].value, limited)};
}

GlobalTest test_of(const stats::LeastSquaresSolution& solution) {
    GlobalTest test;
    test.degrees_of_freedom = solution.degrees_of_freedom;
    if (test.degrees_of_freedom == 0) return test;
    test.statistic = solution.statistic;
    test.p_value = stats::chi_square_upper_tail(test.statistic, test.degrees_of_freedom);
    test.passed = *test.p_value >= test_level;
    return test;
}

std::vector<ReconciledEquation> readings_of(const std::vector<BrewEquation>& equations,
                                            const stats::LeastSquaresSolution& solution) {
    std::vector<ReconciledEquation> out;
    for (std::size_t i = 0; i < equations.size(); ++i) {
        const auto& e = equations[i];
        const auto k = static_cast<Index>(i);
        ReconciledEquation r{e.id,   e.point, e.kind,          e.unit, e.observed, solution.fitted[k],
                             e.sd(), {},      e.is_expectation};
        const double variance = solution.residual_covariance(k, k);
        // where nothing else speaks of it the residual is zero by construction and says nothing
        if (variance > 1e-9 * e.sd() * e.sd()) r.standardised_residual = solution.residual[k] / std::sqrt(variance);
        out.push_back(std::move(r));
    }
    std::ranges::stable_partition(out, [](const ReconciledEquation& r) { return !r.is_expectation; });
    return out;
}

// The equation left out, and what the others then say.
struct Charge {
    std::size_t index = 0;
    double drop = 0.0; // of the statistic: the likelihood ratio for an error in this equation
    Limited without;
};

// Each equation is charged by leaving it out: for small errors the same as the linear likelihood ratio, and still right
// where a gross one has bent the solution.
std::vector<Charge> charges_of(const BrewModel& model, const stats::LeastSquaresSolution& solution) {
    std::vector<Charge> charges;
    for (std::size_t i = 0; i < model.equations.size(); ++i) {
        if (!stats::mean_shift(solution, static_cast<int>(i)).sees) continue;
        auto others = model.equations;
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
        Charge charge{i, 0.0, solve_within(problem_of(others, model.facts, start_of(model)), limits_of_a_brew())};
        charge.drop = solution.statistic - charge.without.solution.statistic;
        if (charge.drop > 0.0 && stats::chi_square_upper_tail(charge.drop, 1) < test_level)
            charges.push_back(std::move(charge));
    }
    std::ranges::stable_sort(charges, [](const Charge& a, const Charge& b) { return a.drop > b.drop; });
    if (charges.size() > most_suspects) charges.resize(most_suspects);
    return charges;
}

Suspect suspect_of(const Charge& charge, const BrewModel& model, const stats::LeastSquaresSolution& solution) {
    const auto& e = model.equations[charge.index];
    const auto state = state_at(charge.without.solution.theta);
    // what the others say it should have read, and how well they know it
    const Slopes should = predicted(e, state, balance(state, model.facts));
    const VectorXd g = gradient_of(should);
    Suspect s;
    s.reading = e.id;
    s.point = e.point;
    s.kind = e.kind;
    s.unit = e.unit;
    s.is_expectation = e.is_expectation;
    s.likely_error = e.observed - should.value;
    s.likely_error_sd = std::sqrt(e.sd() * e.sd() + std::max(0.0, g.dot(charge.without.solution.covariance * g)));
    s.p_value = stats::chi_square_upper_tail(charge.drop, 1);
    for (std::size_t j = 0; j < model.equations.size(); ++j)
        if (j != charge.index && std::abs(stats::evidence_correlation(solution, static_cast<int>(charge.index),
                                                                      static_cast<int>(j))) >= same_evidence)
            s.cannot_be_told_from.push_back(fmt::format("{} {}", model.equations[j].id, model.equations[j].kind));
    s.looks_like = looks_like(e, s.likely_error, s.likely_error_sd);
    s.efficiencies_without = efficiencies_at(charge.without, model.facts);
    s.test_without = test_of(charge.without.solution);
    return s;
}

std::vector<Suspect> suspects_of(const BrewModel& model, const stats::LeastSquaresSolution& solution) {
    std::vector<Suspect> out;
    for (const auto& charge : charges_of(model, solution)) out.push_back(suspect_of(charge, model, solution));
    return out;
}

const Estimated& by_name(const Efficiencies& e, const std::string& about) {
    if (about == "conversion") return e.conversion;
    if (about == "lauter") return e.lauter;
    if (about == "kettle_yield") return e.kettle_yield;
    if (about == "transfer") return e.transfer;
    if (about == "brewhouse") return e.brewhouse;
    throw Error(ErrorKind::refused, fmt::format("`{}` is no efficiency", about),
                "choose conversion, lauter, kettle_yield, transfer or brewhouse");
}

// The sd of the efficiency if one more reading stood beside those taken, linear at the solution.
std::vector<NextReading> next_readings(const ReconcileInput& input, const BrewModel& model,
                                       const stats::LeastSquaresSolution& solution, const std::string& about,
                                       const Efficiencies& now) {
    const auto& asked = by_name(now, about);
    if (!asked.estimate) return {};
    const auto s = state_at(solution.theta);
    const auto b = balance(s, model.facts);
    VectorXd gradient;
    for (const auto& e : efficiencies_of(s, b))
        if (about == e.name) gradient = gradient_of(e.value);
    std::vector<NextReading> out;
    for (const auto& candidate : possible_readings(input, model)) {
        auto equations = model.equations;
        equations.push_back(candidate);
        MatrixXd jacobian(solution.jacobian.rows() + 1, solution.jacobian.cols());
        jacobian << solution.jacobian, gradient_of(predicted(candidate, s, b)).transpose();
        const Eigen::LLT<MatrixXd> chol(covariance_of(equations));
        const MatrixXd white = chol.matrixL().solve(jacobian);
        const VectorXd solved = (white.transpose() * white).ldlt().solve(gradient);
        const double sd_then = std::sqrt(std::max(0.0, gradient.dot(solved)));
        if (sd_then < 0.99 * asked.estimate->sd)
            out.push_back({candidate.point, candidate.kind, about, asked.estimate->sd, sd_then});
    }
    std::ranges::stable_sort(out, {}, &NextReading::sd_then);
    if (out.size() > 3) out.resize(3);
    return out;
}

// Whether the solution is one: the search has ended, within what a brew can do.
bool settled(const Limited& limited) {
    constexpr double open_step = 1e-4; // standard deviations
    const auto inside = [&](const Limit& limit) {
        const double sd = std::sqrt(std::max(0.0, limit.a.dot(limited.free.covariance * limit.a)));
        return limit.a.dot(limited.solution.theta) > -1e-4 * sd;
    };
    return limited.solution.remaining <= open_step && std::ranges::all_of(limits_of_a_brew(), inside);
}

// No figure where no brew fits: the suspects say which reading to look at.
void withhold(Reconciliation& out) {
    const Estimated none{std::nullopt, "the readings contradict each other so far that no brew fits them all"};
    out.efficiencies = {none, none, none, none, none};
    for (auto& [name, found] : out.quantities) found = none;
    out.measure_next.clear();
}

Reconciliation nothing_to_say(const ReconcileInput& input) {
    Reconciliation out;
    out.brew = input.brew.code;
    const Estimated none{std::nullopt, "no malt has been deducted for this brew"};
    out.efficiencies = {none, none, none, none, none};
    for (const auto& q : quantities_of({}, {})) out.quantities.emplace_back(q.name, none);
    out.remarks.push_back(fmt::format(
        "no malt has been deducted: `lotwort brew {} --add LOT=AMOUNT` books what was weighed", input.brew.code));
    return out;
}

} // namespace

Reconciliation reconcile(const ReconcileInput& input, const std::string& about) {
    const BrewModel model = brew_model(input);
    if (model.equations.empty()) return nothing_to_say(input);

    const auto limited = solve_within(problem_of(model.equations, model.facts, start_of(model)), limits_of_a_brew());
    const auto& solution = limited.solution;
    const auto s = state_at(solution.theta);
    const auto b = balance(s, model.facts);

    Reconciliation out;
    out.brew = input.brew.code;
    out.readings_used = model.readings;
    out.remarks = model.remarks;
    out.efficiencies = efficiencies_at(limited, model.facts);
    for (const auto& q : quantities_of(s, b)) out.quantities.emplace_back(q.name, estimate_of(q.value, limited));
    out.test = test_of(solution);
    out.readings = readings_of(model.equations, solution);
    if (!out.test.passed) out.suspects = suspects_of(model, solution);
    out.measure_next = next_readings(input, model, solution, about, out.efficiencies);
    if (settled(limited)) {
        out.textbook_yield_pct = 100.0 * b.extract_fermenter_kg.value / model.grist_kg;
        for (const auto& held : limited.held) out.remarks.push_back(held + ": this limit binds, intervals end at it");
    } else {
        withhold(out);
    }
    if (model.readings == 0)
        out.remarks.insert(out.remarks.begin(), "nothing has been read yet: these figures are the forecast's");
    return out;
}

} // namespace lotwort
