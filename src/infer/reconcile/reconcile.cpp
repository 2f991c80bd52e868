#include "answer.hpp"
#include "believed.hpp"
#include "brew_problem.hpp"
#include "final_beer.hpp"
#include "settled.hpp"
#include "suspects.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/reconcile.hpp>

namespace lotwort {

namespace {

using namespace infer_detail;
using Eigen::Index;
using Eigen::VectorXd;

// As the instrument has it, before its correction.
ReconciledEquation reconciled(const BrewEquation& e, double fitted) {
    return {e.id,   e.point, e.kind,          e.unit, e.observed - e.correction, fitted - e.correction,
            e.sd(), {},      e.is_expectation};
}

std::vector<ReconciledEquation> readings_of(const SettledBrew& settled, const JointBalance& at) {
    const auto& equations = settled.model.equations;
    const auto& solution = settled.limited.solution;
    std::vector<ReconciledEquation> out;
    for (std::size_t i = 0; i < equations.size(); ++i) {
        const auto& e = equations[i];
        const auto k = static_cast<Index>(i);
        ReconciledEquation r = reconciled(e, solution.fitted[k]);
        const double variance = solution.residual_covariance(k, k);
        // where nothing else speaks of it the residual is zero by construction and says nothing
        if (variance > 1e-9 * e.sd() * e.sd()) r.standardised_residual = solution.residual[k] / std::sqrt(variance);
        out.push_back(std::move(r));
    }
    for (const auto& e : settled.left_out) out.push_back(reconciled(e, at.predicted(e).value));
    std::ranges::stable_partition(out, [](const ReconciledEquation& r) { return !r.is_expectation; });
    return out;
}

std::size_t place_of(const std::string& about) {
    constexpr std::array<std::string_view, 5> names{"conversion", "lauter", "kettle_yield", "transfer", "brewhouse"};
    const auto found = std::ranges::find(names, about);
    if (found == names.end())
        throw Error(ErrorKind::refused, fmt::format("`{}` is no efficiency", about),
                    "choose conversion, lauter, kettle_yield, transfer or brewhouse");
    return static_cast<std::size_t>(found - names.begin());
}

// The sd of the efficiency if one more reading stood beside those taken, linear at the solution. A reading whose error
// has covariance c with the errors there are says, once those are known, h = j - J'Wc of the unknowns, with variance
// s = var - c'Wc: the efficiency's variance falls by (g'Ch)^2 / (s + h'Ch).
std::vector<NextReading> next_readings(const ReconcileInput& input, const BrewModel& model, const JointBalance& at,
                                       const stats::LeastSquaresSolution& solution, const std::string& about,
                                       const Traced& efficiency, const Estimated& now) {
    if (!now.estimate) return {};
    const VectorXd cg = solution.covariance * efficiency.slope;
    const double variance = efficiency.slope.dot(cg);
    std::vector<NextReading> out;
    for (const auto& candidate : believed(input, possible_readings(input, model))) {
        VectorXd c = VectorXd::Zero(solution.residual.size());
        for (std::size_t i = 0; i < model.equations.size(); ++i)
            c[static_cast<Index>(i)] = shared_covariance(model.equations[i], candidate);
        const VectorXd wc = solution.weight * c;
        const VectorXd h = VectorXd(at.predicted(candidate).slope) - solution.jacobian.transpose() * wc;
        const double s = candidate.sd() * candidate.sd() - c.dot(wc);
        const double fall = std::pow(cg.dot(h), 2) / (s + h.dot(solution.covariance * h));
        const double sd_then = std::sqrt(std::max(0.0, variance - fall));
        if (sd_then < 0.99 * now.estimate->sd)
            out.push_back({candidate.point, candidate.kind, about, now.estimate->sd, sd_then});
    }
    std::ranges::stable_sort(out, {}, &NextReading::sd_then);
    if (out.size() > 3) out.resize(3);
    return out;
}

// What cannot be is the strongest suspect of all, and the figures are without it.
void charge_impossible(const std::vector<ImpossibleReading>& impossible, Reconciliation& out) {
    std::vector<Suspect> suspects;
    for (const auto& reading : impossible) {
        Suspect s;
        s.reading = reading.id;
        s.point = reading.point;
        s.kind = reading.kind;
        s.impossible = reading.why;
        s.efficiencies_without = out.efficiencies;
        s.test_without = out.test;
        suspects.push_back(std::move(s));
        if (std::ranges::find(out.answered_without, reading.id) == out.answered_without.end())
            out.answered_without.push_back(reading.id);
    }
    out.suspects.insert(out.suspects.begin(), suspects.begin(), suspects.end());
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
    const bool no_extract = has_malt(input);
    const Estimated none{std::nullopt, no_extract ? "the malt of this brew holds no extract"
                                                  : "no malt has been deducted for this brew"};
    out.efficiencies = {none, none, none, none, none};
    for (const char* name :
         {"strike_liquor_l", "sparge_liquor_l", "extract_grist_kg", "extract_mash_kg", "extract_kettle_kg",
          "extract_cast_out_kg", "extract_fermenter_kg", "wort_retained_l", "boil_off_l", "kettle_loss_l", "top_up_l",
          "kettle_liquor_l", "kettle_full_l", "cast_out_l", "fermenter_l", "first_wort_sg", "kettle_full_sg",
          "cast_out_sg", "original_gravity_sg"})
        out.quantities.emplace_back(name, none);
    out.has_weights = no_extract;
    out.remarks.push_back(no_extract ? "by certificate or item, what was weighed into the mash holds no extract"
                                     : "no malt has been deducted");
    return out;
}

} // namespace

Reconciliation reconcile(const ReconcileInput& input, const std::string& about) {
    const std::size_t asked_about = place_of(about);
    BrewModel model = brew_model(input);
    if (model.equations.empty()) return nothing_to_say(input);
    model.equations = believed(input, std::move(model.equations));
    const UnknownsOf unknowns(model);
    const auto problem = problem_of(model, unknowns);
    const auto as_read = solve_within(problem, limits_of(model, unknowns));
    const GlobalTest test = test_of(as_read.solution);
    const auto charges = test.passed ? std::vector<Charge>{} : charges_of(model, unknowns, problem, as_read);
    const auto settled = settle(model, unknowns, as_read, charges);
    const auto& limited = settled.limited;
    const JointBalance at(settled.model, unknowns, limited.solution.theta);

    Reconciliation out;
    out.brew = input.brew.code;
    out.readings_used = model.readings;
    out.remarks = model.remarks;
    out.assumed_figures = model.assumed_figures;
    if (input.elsewhere && input.elsewhere->figures > 0) out.others = input.elsewhere->brews;
    const auto efficiencies = efficiencies_of(settled.model, at);
    std::array<Estimated, 5> found;
    std::ranges::transform(efficiencies, found.begin(), [&](const auto& e) { return estimate_of(e.second, limited); });
    out.efficiencies = {found[0], found[1], found[2], found[3], found[4]};
    for (const auto& [name, value] : quantities_of(settled.model, at))
        out.quantities.emplace_back(name, estimate_of(value, limited));
    out.test = test;
    out.readings = readings_of(settled, at);
    out.suspects = suspects_of(charges, model, unknowns, problem, as_read);
    out.measure_next = next_readings(input, settled.model, at, limited.solution, about,
                                     efficiencies[asked_about].second, found[asked_about]);
    auto impossible = model.impossible;
    for (const auto& e : settled.left_out) out.answered_without.push_back(e.id);
    if (settled.is_settled) {
        out.textbook_yield_pct =
            100.0 * at.kettle(model.asked).balance.extract_fermenter_kg.value / model.brews[model.asked].grist_kg;
        for (const auto& held : limited.held) out.remarks.push_back(held + ": this limit binds, intervals end at it");
        if (auto beer = add_final_beer(input, out)) impossible.push_back(std::move(*beer));
    } else {
        withhold(out);
    }
    charge_impossible(impossible, out);
    if (model.readings == 0 && impossible.empty())
        out.remarks.insert(out.remarks.begin(), "nothing has been read yet: these figures are the forecast's");
    return out;
}

} // namespace lotwort
