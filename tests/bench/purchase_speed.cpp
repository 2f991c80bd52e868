// How long a year's purchases take: weekly brews, 30 items, 5 suppliers; and 500 small purchases against every order
// tried out (argument `trials`). `mps` writes the year's model for other solvers to standard output.
#include "plan/purchase_trials.hpp"
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstring>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

void time_year(double seconds) {
    const PurchaseCase wanted = weekly_purchase(1, 52);
    MipOptions limits;
    limits.relative_gap = 0.01;
    limits.seconds = seconds;
    const auto start = std::chrono::steady_clock::now();
    const auto since = [&] { return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(); };
    limits.progress = [&](const MipProgress& now) {
        std::printf("  %6.2f s  best %.2f bound %.2f nodes %d\n", since(), now.best, now.bound, now.nodes);
    };
    const auto plan = plan_purchases(wanted, limits);
    std::printf("year: %zu needs, %zu offers, %.2f s: found %d cost %.2f bound %.2f gap %.3f %% orders %zu deliveries "
                "%.2f goods %.2f left %.2f holding %.2f late %zu nodes %d\n",
                wanted.needs.size(), wanted.offers.size(), since(), plan.found, plan.total_cost, plan.bound,
                100.0 * plan.gap, plan.orders.size(), plan.deliveries, plan.goods, plan.left_value, plan.holding,
                plan.late.size(), plan.nodes);
}

void trials() {
    int off = 0, feasible = 0, wrong = 0;
    for (unsigned seed = 1; seed <= 500; ++seed) {
        const auto wanted = drawn_purchase(seed);
        const auto plan = plan_purchases(wanted);
        const bool whole = plan.late.empty() && !plan.below_safety;
        const double least = tried_out_cost(wanted, plan.total_cost + (whole ? 0.01 : 20.0));
        if (whole != std::isfinite(least)) {
            ++wrong;
            std::printf("seed %u: late %zu, tried out %g\n", seed, plan.late.size(), least);
        }
        if (!whole) continue;
        ++feasible;
        const double within = 1e-6 * std::max(1.0, std::abs(least));
        if (std::abs(plan.total_cost - least) <= within && std::abs(plan.bound - least) <= within) continue;
        ++off;
        std::printf("seed %u: plan %.8f bound %.8f, tried out %.8f\n", seed, plan.total_cost, plan.bound, least);
    }
    std::printf("500 small ones: %d in time, %d off the least cost, %d wrongly called late or in time\n", feasible, off,
                wrong);
}

} // namespace

int main(int argc, char** argv) {
    const std::string what = argc > 1 ? argv[1] : "year";
    if (what == "trials") trials();
    if (what == "mps") std::fputs(purchase_mps(weekly_purchase(1, 52)).c_str(), stdout);
    if (what == "year") time_year(argc > 2 ? std::atof(argv[2]) : 10.0);
    return 0;
}
