// How long a year's purchases take (`year SECONDS SEED`, `year SECONDS SEED WEEKS` of less), to a gap of 1 %: weekly
// brews, 30 items, 5 suppliers; 500 small purchases against every order tried out (`trials`), and purchases of many
// kinds against the model of every offer on every day (`whole CASES FIRST-SEED`); ours beside the solver's
// own program on the written-out model, in turns
// (`raw SECONDS`, the most that it may take for the year; needs Debian's coinor-cbc). `mps` writes the year's model to
// standard output.
#include "plan/purchase_trials.hpp"
#include "plan/whole_purchase.hpp"
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <lotwort/plan/purchase.hpp>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::plan;

namespace {

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
    return std::chrono::duration<double>(Clock::now() - start).count();
}

void time_year(double seconds, unsigned seed, int weeks) {
    const PurchaseCase wanted = weekly_purchase(seed, weeks);
    MipOptions limits;
    limits.relative_gap = 0.01;
    limits.seconds = seconds;
    const auto start = Clock::now();
    const auto since = [&] { return seconds_since(start); };
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
        if (!whole) {
            if (!could_be_in_time(wanted, plan.spent() + plan.holding + 20.0)) continue;
            ++wrong;
            std::printf("seed %u: late %zu, and could be in time\n", seed, plan.late.size());
            continue;
        }
        const double least = tried_out_cost(wanted, plan.total_cost + 0.01);
        ++feasible;
        const double within = 1e-6 * std::max(1.0, std::abs(least));
        if (std::abs(plan.total_cost - least) <= within && std::abs(plan.bound - least) <= within) continue;
        ++off;
        std::printf("seed %u: plan %.8f bound %.8f, tried out %.8f\n", seed, plan.total_cost, plan.bound, least);
    }
    std::printf("500 small ones: %d in time, %d off the least cost, %d wrongly called late or in time\n", feasible, off,
                wrong);
}

void whole(unsigned cases, unsigned first) {
    unsigned in_time = 0, off = 0, above = 0, wrong = 0;
    for (unsigned seed = first; seed < first + cases; ++seed) {
        const auto wanted = mixed_purchase(seed);
        const auto plan = plan_purchases(wanted);
        const WholeAnswer least = whole_answer(wanted);
        const bool is_whole = plan.late.empty() && !plan.below_safety;
        if (is_whole != least.in_time) {
            ++wrong;
            std::printf("seed %u: in time %d, by the whole model %d\n", seed, is_whole, least.in_time);
        }
        if (!is_whole || !least.in_time) continue;
        ++in_time;
        const double within = 1e-5 * std::max(1.0, std::abs(least.cost));
        if (std::abs(plan.total_cost - least.cost) > within) {
            ++off;
            std::printf("seed %u: plan %.6f, whole %.6f\n", seed, plan.total_cost, least.cost);
        }
        above += plan.bound > least.cost + within ? 1U : 0U;
    }
    std::printf("%u of many kinds: %u in time, %u off the least cost, %u bounds above it, %u wrongly called late or in "
                "time\n",
                cases, in_time, off, above, wrong);
}

// Theirs: seconds, and the objective it printed; none where it had no answer.
struct Theirs {
    double seconds = 0.0;
    std::string objective = "none";
};

Theirs solved_by_program(const PurchaseCase& wanted, double gap, double most_seconds) {
    std::FILE* file = std::fopen("/tmp/purchase_speed.mps", "w");
    if (file == nullptr) std::abort();
    std::fputs(purchase_mps(wanted).c_str(), file);
    std::fclose(file);
    char command[200];
    std::snprintf(command, sizeof command,
                  "cbc /tmp/purchase_speed.mps -preprocess on -ratioGap %g -timeMode elapsed -seconds %g -solve -quit "
                  ">/tmp/purchase_speed.out 2>&1",
                  gap, most_seconds);
    Theirs theirs;
    const auto start = Clock::now();
    if (std::system(command) != 0) std::puts("cbc is not installed");
    theirs.seconds = seconds_since(start);
    std::ifstream out("/tmp/purchase_speed.out");
    for (std::string line; std::getline(out, line);)
        if (line.starts_with("Objective value:")) theirs.objective = line.substr(line.find_first_of("-0123456789"));
    return theirs;
}

void beside_program(const char* name, const PurchaseCase& wanted, double gap, double most_seconds) {
    MipOptions limits;
    limits.relative_gap = gap;
    const auto start = Clock::now();
    const auto plan = plan_purchases(wanted, limits);
    const double ours = seconds_since(start);
    const Theirs theirs = solved_by_program(wanted, gap, most_seconds);
    std::printf("%-16s to %g %%: ours %7.2f s, cost %.2f, gap %.3f %%; the program %7.2f s, cost %s: %.3f times\n",
                name, 100.0 * gap, ours, plan.total_cost, 100.0 * plan.gap, theirs.seconds, theirs.objective.c_str(),
                ours / theirs.seconds);
    std::fflush(stdout);
}

void beside_raw(double most_seconds) {
    for (unsigned seed = 1; seed <= 3; ++seed) beside_program("three weeks", weekly_purchase(seed, 3), 1e-4, 600.0);
    for (unsigned seed = 1; seed <= 3; ++seed) beside_program("four weeks", weekly_purchase(seed, 4), 1e-4, 600.0);
    beside_program("a year", weekly_purchase(1, 52), 0.01, most_seconds);
}

} // namespace

int main(int argc, char** argv) {
    const std::string what = argc > 1 ? argv[1] : "year";
    if (what == "trials") trials();
    if (what == "whole")
        whole(argc > 2 ? unsigned(std::atoi(argv[2])) : 500U, argc > 3 ? unsigned(std::atoi(argv[3])) : 1U);
    if (what == "mps") std::fputs(purchase_mps(weekly_purchase(1, 52)).c_str(), stdout);
    if (what == "year")
        time_year(argc > 2 ? std::atof(argv[2]) : 10.0, argc > 3 ? unsigned(std::atoi(argv[3])) : 1U,
                  argc > 4 ? std::atoi(argv[4]) : 52);
    if (what == "raw") beside_raw(argc > 2 ? std::atof(argv[2]) : 600.0);
    return 0;
}
