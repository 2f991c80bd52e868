// Do the intervals hold the truth? Simulated brews with known truth, noisy instruments with biases of their
// own and readings left out at random, reconciled; prints coverage, errors against the naive figure and false
// alarms; then the same where limits bind. Fixed seed.
// usage: reconcile_coverage [brews per kind, default 2500] [bound: only the last table]
#include "infer/simulated_brewery.hpp"
#include "naive.hpp"
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>

using namespace lotwort;
using namespace lotwort::test;

namespace {

void coverage(int brews, double conversion, double missing, bool bound_only) {
    fmt::print("{:<12}{:>12}{:>9}{:>9}{:>9}{:>10}{:>9}{:>9}\n", "", "efficiency", "holds %", "rmse", "mean sd", "naive",
               "alarms %", "n");
    for (const auto& kind : kinds) {
        Brewery brewery(20260301);
        brewery.expect_conversion(conversion);
        struct Tally {
            int held = 0;
            double square = 0.0, sd = 0.0;
        };
        std::array<Tally, 5> tally;
        double naive_square = 0.0, ours_square = 0.0;
        int naive_n = 0, alarms = 0, tested = 0;
        int n = 0;
        for (int i = 0; i < brews; ++i) {
            const auto drawn = brewery.draw(kind, missing);
            const auto r = reconcile(drawn.input);
            if (r.test.degrees_of_freedom > 0) {
                ++tested;
                alarms += !r.test.passed;
            }
            if (bound_only && std::ranges::none_of(r.remarks, [](const std::string& said) {
                    return said.ends_with("intervals end at it");
                }))
                continue;
            ++n;
            const std::array<double, 5> truth{drawn.conversion, drawn.lauter, drawn.kettle_yield, drawn.transfer,
                                              drawn.brewhouse};
            const std::array<const Estimated*, 5> found{&r.efficiencies.conversion, &r.efficiencies.lauter,
                                                        &r.efficiencies.kettle_yield, &r.efficiencies.transfer,
                                                        &r.efficiencies.brewhouse};
            for (std::size_t k = 0; k < 5; ++k) {
                const auto& e = found[k]->estimate.value();
                tally[k].held += truth[k] >= e.low && truth[k] <= e.high;
                tally[k].square += (e.value - truth[k]) * (e.value - truth[k]);
                tally[k].sd += e.sd;
            }
            if (const auto naive = naive_brewhouse(drawn.input)) {
                ++naive_n;
                naive_square += (*naive - truth[4]) * (*naive - truth[4]);
                ours_square += std::pow(r.efficiencies.brewhouse.estimate->value - truth[4], 2);
            }
        }
        const std::array<const char*, 5> names{"conversion", "lauter", "kettle yield", "transfer", "brewhouse"};
        for (std::size_t k = 0; k < 5; ++k)
            fmt::print("{:<12}{:>12}{:>9.1f}{:>9.4f}{:>9.4f}{:>10}{:>9}{:>9}\n", k == 0 ? kind.name : "", names[k],
                       100.0 * tally[k].held / n, std::sqrt(tally[k].square / n), tally[k].sd / n,
                       k == 4 ? fmt::format("{:.4f}", std::sqrt(naive_square / naive_n)) : "",
                       k == 0 ? fmt::format("{:.1f}", 100.0 * alarms / tested) : "", k == 0 ? fmt::to_string(n) : "");
        fmt::print("{:<12}brewhouse rmse where the naive figure exists: {:.4f}\n", "",
                   std::sqrt(ours_square / naive_n));
    }
}

} // namespace

int main(int argc, char** argv) {
    const int brews = argc > 1 ? std::atoi(argv[1]) : 2500;
    if (argc < 3) {
        fmt::print("a quarter of the readings missing at random, conversion expected at 92 %\n");
        coverage(brews, 0.92, 0.25, false);
        fmt::print("\nall readings taken\n");
        coverage(brews, 0.92, 0.0, false);
        fmt::print("\na quarter missing, conversion expected at 99 %: all brews\n");
        coverage(brews, 0.99, 0.25, false);
    }
    fmt::print("\na quarter missing, conversion expected at 99 %: those where a limit binds\n");
    coverage(3 * brews, 0.99, 0.25, true);
}
