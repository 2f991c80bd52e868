#include "range.hpp"
#include <cmath>
#include <lotwort/wort/boiling_point.hpp>

namespace lotwort::wort {

double solve_boiling_c(double pressure_pa) {
    require_range(pressure_pa, 620.0, 470e3, "pressure in Pa");
    // ln p is nearly straight in 1/T: Newton in t from the boil at the sea needs few steps and stays inside.
    double t = 100.0;
    for (int step = 0; step < 50; ++step) {
        const auto there = saturation_pressure_pa(Dual<1>::parameter(t, 0));
        const double move = std::log(pressure_pa / there.value) * there.value / there.slope[0];
        t += move;
        if (std::abs(move) < 1e-12) break;
    }
    return t;
}

Celsius boiling_point(Metres altitude) {
    require_range(altitude.value(), -500.0, 6000.0, "altitude in m");
    return Celsius(boiling_c(pressure_at_altitude_pa(altitude.value())));
}

} // namespace lotwort::wort
