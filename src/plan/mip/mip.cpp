// The one file that knows CBC. It is driven as its own program drives it (CbcMain1 with preprocessing): a bare branch
// and bound takes hundreds of times the nodes. One thread; log level 0, and the handler itself is told to print
// nothing.
#include "budget.hpp"
#include <algorithm>
#include <cmath>
#include <coin/CbcEventHandler.hpp>
#include <coin/CbcModel.hpp>
#include <coin/CbcSolver.hpp>
#include <coin/CoinPackedMatrix.hpp>
#include <coin/CoinTime.hpp>
#include <coin/OsiClpSolverInterface.hpp>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/plan/mip.hpp>

namespace lotwort::plan {

namespace {

constexpr double kept = 1e-3;               // of a row or bound: far above the solver's own tolerance
constexpr double second_look_seconds = 1.0; // beside as long as the first took

// Asked by the solver after every node and answer.
class Watch : public CbcEventHandler {
public:
    explicit Watch(const MipOptions& options) : options_(&options) {}
    [[nodiscard]] CbcEventHandler* clone() const override { return new Watch(*this); }
    CbcAction event(CbcEvent which) override {
        if (options_->stop != nullptr && options_->stop->load()) return stop;
        const bool is_answer = which == solution || which == heuristicSolution || which == node;
        if (is_answer && model_ != nullptr && model_->getObjValue() <= options_->good_enough) return stop;
        if (options_->progress && model_ != nullptr && (which == treeStatus || which == solution))
            options_->progress({model_->getObjValue() < 1e49 ? model_->getObjValue() : no_limit,
                                model_->getBestPossibleObjValue(), model_->getNodeCount()});
        return noAction;
    }

private:
    const MipOptions* options_;
};

double to_coin(double bound) {
    return std::isfinite(bound) ? bound : std::copysign(COIN_DBL_MAX, bound);
}

void load(const Mip& model, OsiClpSolverInterface& solver) {
    const auto columns = static_cast<int>(model.columns().size());
    CoinPackedMatrix matrix(false, 0, 0);
    matrix.setDimensions(0, columns);
    std::vector<double> low, high, cost, row_low, row_high;
    for (const MipColumn& column : model.columns()) {
        low.push_back(to_coin(column.low));
        high.push_back(to_coin(column.high));
        cost.push_back(column.cost);
    }
    for (const MipRow& row : model.rows()) {
        std::vector<int> at;
        std::vector<double> factors;
        for (const Term& term : row.terms) {
            at.push_back(term.column);
            factors.push_back(term.factor);
        }
        matrix.appendRow(static_cast<int>(at.size()), at.data(), factors.data());
        row_low.push_back(to_coin(row.low));
        row_high.push_back(to_coin(row.high));
    }
    solver.loadProblem(matrix, low.data(), high.data(), cost.data(), row_low.data(), row_high.data());
    for (int i = 0; i < columns; ++i)
        if (model.columns()[static_cast<std::size_t>(i)].whole) solver.setInteger(i);
}

int carry_on(CbcModel*, int) {
    return 0;
}

// How CBC is to search: with all that makes it fast, or by nothing but branches and their linear programmes.
enum class Way { quick, unprepared, plain };

void run(CbcModel& cbc, const MipOptions& options, Way way) {
    CbcSolverUsefulData data;
    data.noPrinting_ = true;
    data.useSignalHandler_ = false; // an interrupt belongs to the program
    CbcMain0(cbc, data);
    cbc.setLogLevel(0);
    const auto text = [](double x) { return fmt::format("{}", x); };
    std::vector<std::string> words{"lotwort",
                                   "-log",
                                   "0",
                                   "-preprocess",
                                   way == Way::quick ? "on" : "off",
                                   "-ratioGap",
                                   text(options.relative_gap),
                                   "-allowableGap",
                                   text(options.absolute_gap),
                                   "-maxNodes",
                                   fmt::format("{}", options.most_nodes)};
    if (std::isfinite(options.seconds))
        words.insert(words.end(), {"-timeMode", "elapsed", "-seconds", text(std::max(0.01, options.seconds))});
    if (way == Way::plain) words.insert(words.end(), {"-presolve", "off", "-cuts", "off", "-heuristics", "off"});
    if (options.better_than < no_limit) words.insert(words.end(), {"-cutoff", text(options.better_than)});
    words.insert(words.end(), {"-solve", "-quit"});
    std::vector<const char*> arguments;
    for (const auto& word : words) arguments.push_back(word.c_str());
    CbcMain1(static_cast<int>(arguments.size()), arguments.data(), cbc, carry_on, data);
}

std::vector<double> values_of(const Mip& model, const double* solution) {
    std::vector<double> values(solution, solution + model.columns().size());
    for (std::size_t i = 0; i < values.size(); ++i) {
        const MipColumn& column = model.columns()[i];
        if (column.whole) values[i] = std::round(values[i]);
        values[i] = std::min(std::max(values[i], column.low), column.high);
    }
    return values;
}

// Without whole numbers there is nothing to branch on.
MipAnswer solve_linear(const Mip& model, OsiClpSolverInterface& solver, const MipOptions& options) {
    if (std::isfinite(options.seconds)) solver.getModelPtr()->setMaximumSeconds(std::max(0.01, options.seconds));
    solver.setHintParam(OsiDoDualInInitial, true, OsiHintDo); // left to choose, it may take a way that prints
    solver.initialSolve();
    LOTWORT_CHECK(!solver.isProvenDualInfeasible()); // every model of ours is bounded
    MipAnswer answer;
    answer.status = solver.isProvenPrimalInfeasible() ? MipStatus::infeasible : MipStatus::stopped;
    if (!solver.isProvenOptimal()) return answer;
    answer.status = MipStatus::optimal;
    answer.values = values_of(model, solver.getColSolution());
    answer.objective = model.objective_of(answer.values);
    answer.bound = std::min(answer.objective, solver.getObjValue());
    return answer;
}

MipAnswer searched(const Mip& model, const MipOptions& options, Way way) {
    OsiClpSolverInterface solver;
    solver.messageHandler()->setLogLevel(0);
    solver.setHintParam(OsiDoReducePrint, true, OsiHintTry);
    load(model, solver);
    if (std::ranges::none_of(model.columns(), &MipColumn::whole)) return solve_linear(model, solver, options);
    CbcModel cbc(solver);
    Watch watch(options);
    cbc.passInEventHandler(&watch);
    run(cbc, options, way);

    MipAnswer answer;
    answer.nodes = cbc.getNodeCount();
    // the status comes before the objective: an infeasible model reports one too
    const bool found = cbc.bestSolution() != nullptr && cbc.getObjValue() < 1e49;
    LOTWORT_CHECK(!cbc.isContinuousUnbounded());
    if (found) {
        answer.values = values_of(model, cbc.bestSolution());
        answer.objective = model.objective_of(answer.values);
        answer.status = cbc.isProvenOptimal() ? MipStatus::optimal : MipStatus::stopped;
        answer.bound = std::min(answer.objective, cbc.getBestPossibleObjValue());
    } else {
        const bool proven = cbc.isProvenInfeasible() || cbc.isContinuousUnbounded() || cbc.status() == 0;
        answer.status = proven ? MipStatus::infeasible : MipStatus::stopped;
        if (!proven) answer.bound = cbc.getBestPossibleObjValue();
    }
    return answer;
}

// A wrong cut proves too much: of some 1600 small purchases one was said to cost 151.94 at least, and 151.34 would do.
// So once more for what is better than the proof allows, with branches alone. What it finds takes the answer's place.
void look_again(const Mip& model, const MipOptions& options, MipAnswer& answer) {
    constexpr double hair = 1e-6; // of the bound: far above the solver's own tolerance
    MipOptions limits = options;
    limits.progress = nullptr;
    limits.seconds = std::min(options.seconds - answer.seconds, answer.seconds + second_look_seconds);
    if (limits.seconds <= 0.0) return;
    if (answer.found()) limits.better_than = answer.bound - hair * std::max(100.0, std::abs(answer.bound));
    MipAnswer second = searched(model, limits, Way::plain);
    answer.nodes += second.nodes;
    second.nodes = answer.nodes;
    second.looked_twice = second.status != MipStatus::stopped;
    if (!second.found() || second.objective >= answer.objective)
        answer.looked_twice = second.looked_twice;
    else if (model.worst_breach(second.values) <= kept)
        answer = std::move(second);
}

} // namespace

double wall_seconds() {
    return CoinWallclockTime();
}

MipAnswer solve(const Mip& model, const MipOptions& options) {
    const double began = wall_seconds();
    MipAnswer answer = searched(model, options, Way::quick);
    // Once in some ten thousand models what was undone of the preprocessing is no answer: a yes/no comes out as
    // neither.
    if (answer.found() && model.worst_breach(answer.values) > kept) {
        MipOptions rest = options;
        rest.seconds -= wall_seconds() - began;
        answer = searched(model, rest, Way::unprepared);
    }
    answer.seconds = wall_seconds() - began;
    if (options.twice && answer.status != MipStatus::stopped) look_again(model, options, answer);
    answer.seconds = wall_seconds() - began;
    return answer;
}

} // namespace lotwort::plan
