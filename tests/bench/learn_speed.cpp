// How long learning takes at 1,000 to 30,000 brews with a fifth as many lots, part by part, and how it grows; beside
// the dense formulas at 1,000. `learn_speed [most brews]`.
#include "../../src/infer/learn/drift.hpp"
#include "../../src/infer/learn/fit.hpp"
#include "infer/simulated_house.hpp"
#include <cmath>
#include <cstdio>
#include <ctime>
#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <lotwort/stats/gaussian_model.hpp>

using namespace lotwort;
using namespace lotwort::infer_detail;

namespace {

// Seconds of this process's own time.
double seconds_of(auto&& f) {
    const std::clock_t start = std::clock();
    f();
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

// One fit with variances by dense matrices of the same size: what the sparse one replaces.
double dense_seconds(int unknowns) {
    Eigen::MatrixXd q = Eigen::MatrixXd::Identity(unknowns, unknowns) * 4.0;
    for (int i = 1; i < unknowns; ++i) q(i, i - 1) = q(i - 1, i) = -1.0;
    double sum = 0.0;
    const double t = seconds_of([&] {
        const Eigen::LLT<Eigen::MatrixXd> llt(q);
        const Eigen::MatrixXd z = llt.solve(Eigen::MatrixXd::Identity(unknowns, unknowns));
        sum = z.trace();
    });
    return sum > 0.0 ? t : 0.0;
}

} // namespace

int main(int argc, char** argv) {
    const int most = argc > 1 ? std::atoi(argv[1]) : 30000;
    double before = 0.0, before_n = 0.0, first_round = 0.0;
    int first_unknowns = 0;
    for (const int n : {1000, 3000, 10000, 30000}) {
        if (n > most) break;
        test::HouseWish wish;
        wish.brews = n;
        wish.conversion_walk = wish.lauter_walk = 0.0003; // a larger one would leave what a brewhouse can be
        wish.brews_per_lot = 9;
        test::SimulatedHouse house(wish);
        std::vector<BrewEvidence> evidence;
        std::map<std::string, UsedLot> lots;
        const Date latest = house.request.brews.back().brew.date;
        const double balances = seconds_of([&] {
            for (const auto& brew : house.request.brews) evidence.push_back(evidence_of(brew, latest));
        });
        for (const auto& used : house.request.lots_on_hand) lots[used.lot.code] = used;
        LearnModel model;
        const double building =
            seconds_of([&] { model = learn_model(evidence, lots, {*house.request.brewhouse}, latest); });
        double round = 0.0;
        {
            stats::GaussianSolver solver(model.model);
            const std::vector<double> zero(scale_names, 0.0);
            (void)solver.fit(zero, stats::GaussianSolver::Want::variances);
            // two factorisations and two selected inverses
            round = 0.5 * seconds_of([&] { (void)solver.fit(zero, stats::GaussianSolver::Want::variances, 1); });
        }
        stats::ScaleGrid grid;
        const double scales = seconds_of([&] {
            const auto count = static_cast<std::ptrdiff_t>(std::min(evidence.size(), most_learned_brews));
            const std::vector<BrewEvidence> part(evidence.end() - count, evidence.end());
            grid = find_scales(learn_model(part, lots, {*house.request.brewhouse}, latest));
        });
        grid.points = {{grid.mode, 1.0}};
        const double fit = seconds_of([&] { (void)fit_model(model, {without_steps(grid)}, {}); });
        const std::vector<double> lot_sd(model.lots.size(), 0.012);
        const double charts = seconds_of([&] { (void)find_changes(model, without_steps(grid)); });
        const double whole = building + fit + charts;
        std::printf("%6d brews %5zu lots %6d unknowns: model %.3f s, fit %.3f, changes %.3f: %.3f s", n,
                    model.lots.size(), model.model.unknowns(), building, fit, charts, whole);
        if (before > 0.0) std::printf(" (n^%.2f)", std::log(whole / before) / std::log(n / before_n));
        std::printf("; scales from the latest %.3f s; in all %.2f s; one factorisation and selected inverse %.4f s; "
                    "each brew's balance %.2f s\n",
                    scales, whole + scales, round, balances);
        before = whole;
        before_n = n;
        if (n == 1000) {
            first_round = round;
            first_unknowns = model.model.unknowns();
        }
    }
    const double dense = dense_seconds(first_unknowns);
    std::printf("dense factorisation and inverse at %d unknowns: %.2f s, %.0f times the sparse one\n", first_unknowns,
                dense, dense / first_round);
}
