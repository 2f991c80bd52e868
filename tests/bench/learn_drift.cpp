// Steps in conversion: how often each chart finds them at equal false alarms, with the scales known and estimated.
// `learn_drift [breweries] [seed] [share of readings missing]`. Limits are set on breweries at rest, power is measured
// on others.
#include "../../src/infer/learn/drift.hpp"
#include "../../src/infer/learn/fit.hpp"
#include "infer/simulated_house.hpp"
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <vector>

using namespace lotwort;
using namespace lotwort::infer_detail;

namespace {

constexpr int at_rest = 30, after = 8;
double missing = 0.25; // of each reading
const char* const charts[3] = {"step scan", "ewma", "cusum"};

// What each chart shows after each brew: [brew][chart], the larger of both quantities; and of conversion alone.
struct Course {
    std::vector<std::array<double, 3>> most, conversion;
};

Course course_of(const LearnModel& model, const stats::ScaleGrid& grid, const std::vector<double>& lot_sd) {
    HouseCharts house(model, 0, grid.mode, lot_sd);
    Course out;
    while (house.next()) {
        std::array<double, 3> shown[2];
        for (std::size_t q = 0; q < 2; ++q)
            shown[q] = {house.now[q].step.evidence, std::abs(house.now[q].ewma), house.now[q].cusum};
        out.conversion.push_back(shown[0]);
        for (std::size_t c = 0; c < 3; ++c) shown[0][c] = std::max(shown[0][c], shown[1][c]);
        out.most.push_back(shown[0]);
    }
    return out;
}

struct Both {
    Course known, estimated;
};

Both simulate(unsigned seed, double step) {
    test::HouseWish wish;
    wish.seed = seed;
    wish.kind = static_cast<int>(seed % 4);
    wish.brews = step == 0.0 ? at_rest : at_rest + after;
    wish.conversion_walk = at_rest_conversion_walk;
    wish.lauter_walk = at_rest_lauter_walk;
    wish.missing = missing;
    wish.step_at = at_rest;
    wish.step = step;
    test::SimulatedHouse house(wish);
    std::vector<BrewEvidence> evidence;
    std::map<std::string, UsedLot> lots;
    for (const auto& used : house.request.lots_on_hand) lots[used.lot.code] = used;
    const Date latest = house.request.brews.back().brew.date;
    for (const auto& brew : house.request.brews) evidence.push_back(evidence_of(brew, latest));
    const LearnModel model = learn_model(evidence, lots, {*house.request.brewhouse}, latest);
    const auto known = stated_scales();
    auto grid = find_scales(model);
    const auto fitted = fit_model(model, {without_steps(grid)}, {});
    return {course_of(model, known, chart_scatter(model, fit_model(model, {without_steps(known)}, {}))),
            course_of(model, grid, chart_scatter(model, fitted))};
}

double quantile(std::vector<double> x, double p) {
    std::ranges::sort(x);
    return x[static_cast<std::size_t>(p * static_cast<double>(x.size() - 1) + 0.5)];
}

void power(int breweries, unsigned seed, double step, const double (&limit)[2][3]) {
    std::vector<int> delay[2][3];
    for (int i = 0; i < breweries; ++i) {
        const auto both = simulate(seed + static_cast<unsigned>(i), step);
        for (std::size_t which = 0; which < 2; ++which) {
            const auto& shown = (which == 0 ? both.known : both.estimated).most;
            for (std::size_t c = 0; c < 3; ++c) {
                // from the step on, whatever went before
                int found = after + 1;
                for (int b = after - 1; b >= 0; --b)
                    if (shown[static_cast<std::size_t>(at_rest + b)][c] > limit[which][c]) found = b + 1;
                delay[which][c].push_back(found);
            }
        }
    }
    for (std::size_t which = 0; which < 2; ++which)
        for (std::size_t c = 0; c < 3; ++c) {
            const auto& d = delay[which][c];
            const auto found = std::ranges::count_if(d, [](int x) { return x <= after; });
            const double median = quantile(std::vector<double>(d.begin(), d.end()), 0.5);
            std::printf("step %+.1f %%, scales %-9s %-9s: found within %d brews %5.1f %%, median delay %s%.0f\n",
                        100.0 * step, which == 0 ? "known" : "estimated", charts[c], after,
                        100.0 * static_cast<double>(found) / breweries, median > after ? "over " : "",
                        std::min(median, static_cast<double>(after)));
        }
}

} // namespace

int main(int argc, char** argv) {
    const int breweries = argc > 1 ? std::atoi(argv[1]) : 300;
    const unsigned seed = argc > 2 ? static_cast<unsigned>(std::atoi(argv[2])) : 5000;
    if (argc > 3) missing = std::atof(argv[3]);
    std::vector<double> most[2][3];
    for (int i = 0; i < 2 * breweries; ++i) {
        const auto both = simulate(seed + 100000 + static_cast<unsigned>(i), 0.0);
        for (std::size_t which = 0; which < 2; ++which)
            for (std::size_t c = 0; c < 3; ++c) {
                double top = 0.0;
                for (const auto& shown : (which == 0 ? both.known : both.estimated).most) top = std::max(top, shown[c]);
                most[which][c].push_back(top);
            }
    }
    double limit[2][3];
    for (std::size_t which = 0; which < 2; ++which)
        for (std::size_t c = 0; c < 3; ++c) {
            limit[which][c] = quantile(most[which][c], 0.95);
            std::printf("limit for 5 %% false alarms in %d brews, scales %-9s %-9s: %.2f (10 %%: %.2f, 1 %%: %.2f)\n",
                        at_rest, which == 0 ? "known" : "estimated", charts[c], limit[which][c],
                        quantile(most[which][c], 0.90), quantile(most[which][c], 0.99));
        }
    const DriftLimits ours;
    const double in_use[3] = {ours.scan, ours.ewma, ours.cusum};
    for (std::size_t c = 0; c < 3; ++c)
        std::printf(
            "the limit in use, %s %.2f: false alarms %.1f %%\n", charts[c], in_use[c],
            100.0 * static_cast<double>(std::ranges::count_if(most[1][c], [&](double x) { return x > in_use[c]; })) /
                static_cast<double>(most[1][c].size()));
    for (const double step : {-0.03, -0.05}) power(breweries, seed, std::log1p(step), limit);
}
