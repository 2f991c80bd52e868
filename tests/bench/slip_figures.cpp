// One slip of the pen in each of many brews: an answer each time, finite, and the slip among the suspects where it can
// be seen. docs/methods/reconcile.md has the figures.
// usage: slip_figures [brews, default 20000] [first, default 1]
#include "infer/slip_trials.hpp"
#include <array>
#include <chrono>
#include <cstdlib>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <map>

using namespace lotwort;
using namespace lotwort::test;

namespace {

struct Tally {
    int brews = 0, refused = 0, bugs = 0, flawed = 0, withheld = 0, failed_test = 0, suspected = 0, first = 0;
};

constexpr std::array<double, 6> edges{0.0, 2.0, 3.0, 4.0, 6.0, 10.0};

std::string size_of(const SlipTrial& trial) {
    if (!trial.stands_out) return "nothing else speaks of it";
    std::size_t k = 0;
    while (k + 1 < edges.size() && *trial.stands_out >= edges[k + 1]) ++k;
    return k + 1 < edges.size() ? fmt::format("{:>2} to {:>2} sd", edges[k], edges[k + 1])
                                : fmt::format("{:>2} sd or more", edges[k]);
}

void print(const std::map<std::string, Tally>& rows) {
    fmt::print("{:<48}{:>7}{:>8}{:>6}{:>7}{:>9}{:>8}{:>10}{:>8}\n", "", "brews", "refused", "bugs", "flawed",
               "withheld", "failed", "suspected", "first");
    for (const auto& [name, t] : rows) {
        const auto pct = [&](int n) { return 100.0 * n / t.brews; };
        fmt::print("{:<48}{:>7}{:>8}{:>6}{:>7}{:>9}{:>7.1f}%{:>9.1f}%{:>7.1f}%\n", name, t.brews, t.refused, t.bugs,
                   t.flawed, t.withheld, pct(t.failed_test), pct(t.suspected), pct(t.first));
    }
}

} // namespace

int main(int argc, char** argv) {
    const int brews = argc > 1 ? std::atoi(argv[1]) : 20000;
    std::uint64_t number = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 1;
    std::map<std::string, Tally> by_size, by_slip, all;
    double slowest = 0.0;
    std::uint64_t slowest_at = 0;
    for (int made = 0; made < brews; ++number) {
        std::optional<SlipTrial> trial;
        try {
            trial = slip_trial(number);
        } catch (const std::exception& e) {
            fmt::print("{}: while judging: {}\n", number, e.what());
            ++all["while judging"].brews;
            ++made;
            continue;
        }
        if (!trial) continue;
        ++made;
        Tally seen;
        seen.brews = 1;
        const auto begin = std::chrono::steady_clock::now();
        try {
            const Reconciliation answer = reconcile(trial->input);
            if (const auto flaw = flaw_of(answer)) {
                seen.flawed = 1;
                fmt::print("{}: {} ({}): {}\n", number, trial->slip, trial->reading, *flaw);
            }
            seen.withheld = !answer.efficiencies.brewhouse.estimate;
            seen.failed_test = !answer.test.passed;
            seen.suspected = suspects(answer, trial->reading);
            seen.first = !answer.suspects.empty() && answer.suspects.front().reading == trial->reading;
            if (seen.withheld) fmt::print("{}: {} ({}): withheld\n", number, trial->slip, trial->reading);
            if (trial->stands_out && *trial->stands_out >= 10.0 && !seen.suspected)
                fmt::print("{}: {} ({}): {:.0f} sd, not suspected\n", number, trial->slip, trial->reading,
                           *trial->stands_out);
        } catch (const Error& e) {
            seen.refused = 1;
            fmt::print("{}: {} ({}): refused: {}\n", number, trial->slip, trial->reading, e.what());
        } catch (const std::exception& e) {
            seen.bugs = 1;
            fmt::print("{}: {} ({}): {}\n", number, trial->slip, trial->reading, e.what());
        }
        const double took = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
        if (took > slowest) slowest = took, slowest_at = number;
        for (Tally* t : {&by_size[size_of(*trial)], &by_slip[trial->slip], &all["all"]}) {
            t->brews += 1;
            t->refused += seen.refused;
            t->bugs += seen.bugs;
            t->flawed += seen.flawed;
            t->withheld += seen.withheld;
            t->failed_test += seen.failed_test;
            t->suspected += seen.suspected;
            t->first += seen.first;
        }
    }
    print(by_slip);
    print(by_size);
    print(all);
    fmt::print("slowest: {:.3f} s at {}\n", slowest, slowest_at);
}
