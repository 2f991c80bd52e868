#include <algorithm>
#include <array>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/malt_analysis.hpp>

namespace lotwort {

double solve_sucrose_fraction(double concentration_g_per_l) {
    if (!(concentration_g_per_l > 0.0 && concentration_g_per_l <= 1000.0))
        throw Error(ErrorKind::refused, "a concentration outside 0 to 1000 g/L", "give grams of extract per litre");
    // rho(w, 20) w = c, by Newton from the dilute side: the left side is convex in w, so every step stays above.
    double w = concentration_g_per_l / 1000.0;
    for (int step = 0; step < 30; ++step) {
        const auto mass = Dual<1>::parameter(w, 0);
        const auto held = wort::sucrose_density_kg_m3(mass, 20.0) * mass;
        w -= (held.value - concentration_g_per_l) / held.slope[0];
    }
    return w;
}

double litre_degrees_of_sucrose(double concentration_g_per_l) {
    return sucrose_litre_degrees_at(concentration_g_per_l);
}

int modification_class(Percent fine_less_coarse) {
    if (!(fine_less_coarse.value() >= 0.0))
        throw Error(ErrorKind::refused, "fine grind gives less extract than coarse",
                    "give fine less coarse, 0 or more points");
    constexpr std::array<double, 4> from{1.3, 1.95, 2.65, 3.35}; // the printed classes' gaps are halved
    return 1 + static_cast<int>(
                   std::ranges::count_if(from, [&](double least) { return fine_less_coarse.value() >= least; }));
}

} // namespace lotwort
