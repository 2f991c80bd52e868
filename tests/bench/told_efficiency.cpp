// What the efficiency that a brewer tells is worth: the first brew forecast with it and without, error and coverage of
// the 90 % interval. Fixed seed. usage: told_efficiency [houses, default 200] [seed, default 20261130]
#include "brew/first_brews.hpp"
#include <cstdlib>
#include <fmt/format.h>

using namespace lotwort::test;

int main(int argc, char** argv) {
    const int houses = argc > 1 ? std::atoi(argv[1]) : 200;
    const unsigned long long seed = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 20261130ULL;
    fmt::print("{:<28}{:>11}{:>9}{:>9}{:>9}{:>9}\n", "first brews", "points rms", "OG rms", "OG held", "L rms",
               "L held");
    for (const double wide : {1.0, 2.0, 3.0}) {
        const auto r = forecast_first_brews(houses, wide, 3.0, seed);
        for (const auto& [name, of] : {std::pair("told", r.with), {"not told", r.without}})
            fmt::print("{:<28}{:>11.2f}{:>9.4f}{:>8.1f}%{:>9.2f}{:>8.1f}%\n",
                       fmt::format("houses {:.0f} x typical, {}", wide, name), of.efficiency_rms, of.gravity_rms,
                       100.0 * of.gravity_held, of.volume_rms_l, 100.0 * of.volume_held);
    }
}
