// How long one brew takes: reconciled without suspects, with suspects (a slip in it), beside dense QR
// decompositions of the same size by Eigen. google-benchmark; ratios are read within one run.
#include "../../src/infer/reconcile/brew_problem.hpp"
#include "../../src/infer/reconcile/equations.hpp"
#include "infer/simulated_brew.hpp"
#include <benchmark/benchmark.h>
#include <Eigen/QR>

using namespace lotwort;
using namespace lotwort::test;

namespace {

SimulatedBrew a_brew() {
    SimulatedBrew brew = simulate({});
    read_everything(brew);
    return brew;
}

void one_brew(benchmark::State& state) {
    const auto brew = a_brew();
    for (auto _ : state) benchmark::DoNotOptimize(reconcile(brew.input));
}
BENCHMARK(one_brew)->Unit(benchmark::kMicrosecond);

// The search alone: equations worked out, whitened, decomposed and solved, as often as the counter says.
void one_search(benchmark::State& state) {
    using namespace infer_detail;
    const auto brew = a_brew();
    const BrewModel model = brew_model(brew.input);
    const UnknownsOf unknowns(model);
    auto problem = problem_of(model, unknowns);
    problem.minimum_only = true;
    int iterations = 0;
    for (auto _ : state) iterations = stats::solve(problem).iterations + 1;
    state.counters["iterations"] = iterations;
}
BENCHMARK(one_search)->Unit(benchmark::kMicrosecond);

void one_brew_with_suspects(benchmark::State& state) {
    auto brew = a_brew();
    auto& volume = brew.reading(ReadingPoint::kettle_full).volume;
    volume = *volume + Litres(3.0);
    for (auto _ : state) benchmark::DoNotOptimize(reconcile(brew.input));
}
BENCHMARK(one_brew_with_suspects)->Unit(benchmark::kMicrosecond);

// 20 equations in 10 unknowns, as one brew has
void one_dense_qr(benchmark::State& state) {
    const Eigen::MatrixXd a = Eigen::MatrixXd::Random(20, 10);
    const Eigen::VectorXd b = Eigen::VectorXd::Random(20);
    for (auto _ : state) {
        Eigen::VectorXd x = a.colPivHouseholderQr().solve(b);
        benchmark::DoNotOptimize(x);
    }
}
BENCHMARK(one_dense_qr)->Unit(benchmark::kMicrosecond);

} // namespace

BENCHMARK_MAIN();
