// What breweries' readings can tell at all, whoever reads them: by the true model with every scale known, so that what
// a learner falls short of it is its own, and what it shares with it is the readings'. `learn_oracle step|sack|offsets
// [breweries] [seed]`.
//
// step: the likeliest place of a fall whose size is known beforehand (Neyman and Pearson's test, over all places at
// once). It is named as rarely as one brewery in twenty at rest over 30 brews. sack: the difference between two lots.
// offsets: what all but an instrument's own prior says of its lasting error.
#include "../../src/infer/learn/gather.hpp"
#include "../../src/infer/learn/turn.hpp"
#include "infer/simulated_house.hpp"
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>

using namespace lotwort;
using namespace lotwort::test;
using namespace lotwort::infer_detail;
using Want = stats::GaussianSolver::Want;

namespace {

constexpr double scatter = 0.006, walk = 0.0003;

HouseWish steady(unsigned seed, int brews, bool typical) {
    HouseWish wish;
    wish.seed = seed;
    wish.brews = brews;
    wish.kind = 1 + static_cast<int>(seed % 3);
    wish.typical = typical;
    wish.missing = 0.0;
    wish.conversion_scatter = 0.9 * scatter;
    wish.lauter_scatter = std::sqrt(1.0 - 0.81) * scatter;
    wish.conversion_walk = walk;
    wish.lauter_walk = 0.0002;
    wish.use = LotUse::one_by_one;
    wish.brews_per_lot = 200;
    return wish;
}

// The brewery's model, its scales as they truly are.
struct Known {
    Gathered gathered;
    LearnModel model;
    std::vector<double> scales;
    explicit Known(const LearnRequest& request)
        : gathered(gather(in_order(request.brews), request.brews.back().brew.date)) {
        make_linear_again(gathered);
        model = learn_model(gathered.evidence, gathered.lots, gathered.houses, gathered.latest);
        const auto& prior = model.houses.front().prior;
        scales.assign(scale_names, 0.0);
        scales[brew_scatter] = std::log(scatter / std::hypot(prior.scatter_sd[0], prior.scatter_sd[1]));
        scales[level_walk] = std::log(walk / conversion_walk_sd);
    }
};

struct Fall {
    double best = -1e9;   // ln of the likelihood ratio of a fall of that size in conversion at its likeliest place
    double middle = 0.0;  // how well one in the middle is known
    bool by_rule = false; // whether the program's own rule names a step: its size unknown, the scales known
};

bool is_named(const Known& known) {
    stats::ScaleGrid grid = stated_scales();
    grid.mode = known.scales;
    grid.points = {{grid.mode, 1.0}};
    const auto changes = find_changes(known.model, without_steps(std::move(grid)), Seek::quickly);
    for (std::size_t b = 0; b < known.model.brews.size(); ++b) {
        double sum = 0.0;
        for (const auto& m : changes)
            if (has_step_near(known.model, m, b, 2)) sum += m.weight;
        if (sum >= named_from) return true;
    }
    return false;
}

Fall best_fall(const LearnRequest& request, double size) {
    const Known known(request);
    Fall fall;
    fall.by_rule = is_named(known);
    stats::GaussianSolver solver(known.model.model);
    (void)solver.fit(known.scales, Want::variances);
    const int brews = static_cast<int>(known.model.brews.size());
    for (int b = 2; b + 3 <= brews; ++b) {
        const auto [mean, variance] = solver.foreseen(known.model.brews[static_cast<std::size_t>(b)].steps[0]);
        fall.best = std::max(fall.best, (mean * size - 0.5 * size * size) / variance);
        if (b == brews / 2) fall.middle = std::sqrt(variance);
    }
    return fall;
}

void step(int breweries, unsigned seed) {
    for (const bool typical : {true, false})
        for (const auto& [half, fall] : {std::pair(7, -0.04), std::pair(12, -0.02)}) {
            const double size = std::log1p(fall);
            std::vector<double> at_rest;
            int found = 0, by_rule = 0, alarms = 0;
            for (int i = 0; i < 2 * breweries; ++i) {
                const auto wish = steady(seed + 5000U + static_cast<unsigned>(i), 30, typical);
                const Fall none = best_fall(SimulatedHouse(wish).request, size);
                at_rest.push_back(none.best);
                alarms += none.by_rule;
            }
            std::ranges::sort(at_rest);
            const double limit = at_rest[static_cast<std::size_t>(0.95 * static_cast<double>(at_rest.size()))];
            double sd = 0.0;
            for (int i = 0; i < breweries; ++i) {
                auto wish = steady(seed + static_cast<unsigned>(i), 2 * half, typical);
                wish.step_at = half;
                wish.step = size;
                const Fall one = best_fall(SimulatedHouse(wish).request, size);
                found += one.best > limit;
                by_rule += one.by_rule;
                sd += one.middle / breweries;
            }
            std::printf("instruments %s, %d + %d brews, %.0f %%: known to +- %.2f %%; found %.0f %% where one house at "
                        "rest in twenty is; by the program's rule %.0f %%, at rest %.1f %%\n",
                        typical ? "typical" : "stated", half, half, 100.0 * fall, 100.0 * sd, 100.0 * found / breweries,
                        100.0 * by_rule / breweries, 50.0 * alarms / breweries);
        }
}

// What the brews alone say of a difference of unknowns: its own prior taken out.
void sack(int breweries, unsigned seed) {
    int sure = 0, named = 0;
    double sd = 0.0;
    for (int i = 0; i < breweries; ++i) {
        auto wish = steady(seed + static_cast<unsigned>(i), 12, true);
        wish.use = LotUse::two_halves;
        wish.odd_lot = 1;
        wish.odd = -0.04;
        const SimulatedHouse house(wish);
        const Known known(house.request);
        stats::GaussianSolver solver(known.model.model);
        (void)solver.fit(known.scales, Want::variances);
        const auto& lot = known.model.lots[static_cast<std::size_t>(known.model.lot_index.at(house.truth.odd_lot))];
        const auto& other = *std::ranges::find_if(
            known.model.lots, [&](const auto& l) { return l.item == lot.item && l.lot != lot.lot; });
        const auto difference = solver.each({{{lot.unknown, 1.0}, {other.unknown, -1.0}}}).front();
        const double own = 2.0 * lot.prior.lot_sd * lot.prior.lot_sd; // of two ordinary lots
        const double precision = std::max(1.0 / difference.variance - 1.0 / own, 1e-9);
        const double mean = difference.mean / difference.variance / precision, deviation = std::sqrt(1.0 / precision);
        sd += deviation / breweries;
        sure += mean + 1.645 * deviation < 0.0;
        named += 0.5 * std::erfc((difference.mean + 0.015) / std::sqrt(2.0 * difference.variance)) >= 0.75;
    }
    std::printf(
        "a sack 4 %% weak, 6 + 6 brews: the two lots' difference known to +- %.2f %% by the brews; below 0 nine "
        "times in ten in %.0f %%, 1.5 %% low at least with 0.75 in %.0f %%\n",
        100.0 * sd, 100.0 * sure / breweries, 100.0 * named / breweries);
}

void offsets(int breweries, unsigned seed) {
    struct Sum {
        double sd = 0.0;
        int of = 0;
        std::string unit;
    };
    for (const bool typical : {true, false}) {
        std::map<std::string, Sum> sums;
        for (int i = 0; i < breweries; ++i) {
            const Known known(SimulatedHouse(steady(seed + static_cast<unsigned>(i), 20, typical)).request);
            stats::GaussianSolver solver(known.model.model);
            const auto& fit = solver.fit(known.scales, Want::variances);
            for (const auto& at : known.model.instruments) {
                Sum& sum = sums[at.instrument.name];
                const auto& doubted = fit.doubted[static_cast<std::size_t>(at.doubt)];
                sum.sd += std::sqrt(doubted.cavity_variance) * at.instrument.bias_sd;
                sum.unit = at.instrument.unit;
                ++sum.of;
            }
        }
        for (const auto& [name, sum] : sums)
            std::printf("20 brews: %s known to +- %.4f %s by all else\n", name.c_str(), sum.sd / sum.of,
                        sum.unit.c_str());
    }
}

} // namespace

int main(int argc, char** argv) {
    const std::string what = argc > 1 ? argv[1] : "";
    const int breweries = argc > 2 ? std::atoi(argv[2]) : 200;
    const unsigned seed = argc > 3 ? static_cast<unsigned>(std::atoi(argv[3])) : 60000;
    if (what == "step") return step(breweries, seed), 0;
    if (what == "sack") return sack(breweries, seed), 0;
    if (what == "offsets") return offsets(breweries, seed), 0;
    std::puts("learn_oracle step|sack|offsets [breweries] [seed]");
    return 2;
}
