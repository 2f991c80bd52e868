// Do the intervals hold the truth? Simulated brews with known truth, noisy instruments with biases of their
// own and readings left out at random, reconciled; prints coverage, errors against the naive figure, false
// alarms, and how slips are found. Fixed seed. usage: reconcile_coverage [brews per kind, default 2000]
#include "infer/simulated_brewery.hpp"
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>
#include <functional>

using namespace lotwort;
using namespace lotwort::test;

namespace {

// Fermenter volume times gravity over certified extract: what most brewers work out.
std::optional<double> naive_brewhouse(const ReconcileInput& in) {
    std::optional<double> litres, sg;
    for (const auto& r : in.brew.readings) {
        if (r.point != ReadingPoint::fermenter) continue;
        if (r.volume) litres = r.volume->value();
        if (r.gravity_sg) sg = r.gravity_sg->value();
    }
    if (!litres || !sg) return std::nullopt;
    const double grist = in.brew.additions.front().amount.kilograms().value();
    const auto& c = *in.lots.at("malt").lot.certificate;
    const double plato = 135.997 * std::pow(*sg, 3) - 630.272 * *sg * *sg + 1111.14 * *sg - 616.868; // ASBC cubic
    return *litres * *sg * 0.998203 * plato / 100.0 /
           (grist * c.extract->value() / 100.0 * (1.0 - c.moisture->value() / 100.0));
}

void coverage(int brews) {
    fmt::print("{:<12}{:>12}{:>9}{:>9}{:>9}{:>10}{:>9}{:>9}\n", "", "efficiency", "holds %", "rmse", "mean sd", "naive",
               "alarms %", "n");
    for (const auto& kind : kinds) {
        Brewery brewery(20260301);
        struct Tally {
            int held = 0;
            double square = 0.0, sd = 0.0;
        };
        std::array<Tally, 5> tally;
        double naive_square = 0.0, ours_square = 0.0;
        int naive_n = 0, alarms = 0, tested = 0;
        for (int i = 0; i < brews; ++i) {
            const auto drawn = brewery.draw(kind, 0.25);
            const auto r = reconcile(drawn.input);
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
            if (r.test.degrees_of_freedom > 0) {
                ++tested;
                alarms += !r.test.passed;
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
                       100.0 * tally[k].held / brews, std::sqrt(tally[k].square / brews), tally[k].sd / brews,
                       k == 4 ? fmt::format("{:.4f}", std::sqrt(naive_square / naive_n)) : "",
                       k == 0 ? fmt::format("{:.1f}", 100.0 * alarms / tested) : "",
                       k == 0 ? fmt::to_string(brews) : "");
        fmt::print("{:<12}brewhouse rmse where the naive figure exists: {:.4f}\n", "",
                   std::sqrt(ours_square / naive_n));
    }
}

struct Slip {
    std::string name;
    std::string reading;
    std::function<void(Reading&)> make;
};

void power(int brews) {
    const std::vector<Slip> slips{
        {"kettle volume +2.5 L", "kettle-full-volume", [](Reading& r) { r.volume = *r.volume + Litres(2.5); }},
        {"kettle gravity +0.006", "kettle-full-gravity",
         [](Reading& r) { r.gravity_sg = *r.gravity_sg + GravityDifference(0.006); }},
        {"fermenter volume -2 L", "fermenter-volume", [](Reading& r) { r.volume = *r.volume - Litres(2.0); }},
        {"fermenter gravity +0.009", "fermenter-gravity",
         [](Reading& r) { r.gravity_sg = *r.gravity_sg + GravityDifference(0.009); }},
    };
    fmt::print("\n{:<28}{:>10}{:>10}{:>12}\n", "slip (one batch sparge)", "found %", "named %", "with ties %");
    for (const auto& slip : slips) {
        Brewery brewery(7);
        int found = 0, named = 0, tied = 0;
        for (int i = 0; i < brews; ++i) {
            auto drawn = brewery.draw(kinds[1], 0.0);
            for (auto& r : drawn.input.brew.readings)
                if (r.id == slip.reading) slip.make(r);
            const auto r = reconcile(drawn.input);
            if (r.test.passed) continue;
            ++found;
            if (r.suspects.empty()) continue;
            const auto& first = r.suspects.front();
            const bool alone = first.reading == slip.reading;
            bool with = alone;
            for (const auto& other : first.cannot_be_told_from) with = with || other.starts_with(slip.reading + " ");
            named += alone;
            tied += with;
        }
        fmt::print("{:<28}{:>10.1f}{:>10.1f}{:>12.1f}\n", slip.name, 100.0 * found / brews, 100.0 * named / brews,
                   100.0 * tied / brews);
    }
}

} // namespace

int main(int argc, char** argv) {
    const int brews = argc > 1 ? std::atoi(argv[1]) : 2000;
    coverage(brews);
    power(brews);
}
