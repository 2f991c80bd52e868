#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/malt_analysis.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort {

double litre_degrees_of_sucrose(double concentration_g_per_l) {
    if (!(concentration_g_per_l > 0.0 && concentration_g_per_l <= 1000.0))
        throw Error(ErrorKind::refused, "a concentration outside 0 to 1000 g/L", "give grams of extract per litre");
    // rho(w, 20) w = c, by Newton from the dilute side: the left side is convex in w, so every step stays above.
    double w = concentration_g_per_l / 1000.0;
    for (int step = 0; step < 30; ++step) {
        const auto mass = Dual<1>::parameter(w, 0);
        const auto held = wort::sucrose_density_kg_m3(mass, 20.0) * mass;
        w -= (held.value - concentration_g_per_l) / held.slope[0];
    }
    return 1e6 * (wort::specific_gravity_of(w) - 1.0) / concentration_g_per_l;
}

} // namespace lotwort
