#include "range.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/carbonation.hpp>

namespace lotwort::wort {

namespace {

double held_per_bar(Celsius at) {
    require_range(at.value(), -2.0, 40.0, "temperature of the beer in C");
    return 10.0 * std::exp(2617.25 / (at.value() + 273.15) - 10.73797);
}

} // namespace

double carbon_dioxide_held(Celsius at, double bar_absolute) {
    require_range(bar_absolute, 0.0, 10.0, "pressure in bar");
    return bar_absolute * held_per_bar(at);
}

double gauge_pressure(double g_per_l, Celsius at) {
    return g_per_l / held_per_bar(at) - sea_level_bar;
}

double carbon_dioxide_left(Celsius warmest) {
    return carbon_dioxide_held(warmest, sea_level_bar);
}

double priming_extract(double left_g_per_l, double wanted_g_per_l) {
    return std::max(0.0, wanted_g_per_l - left_g_per_l) / gas_per_extract;
}

Percent alcohol_of_priming(double extract_g_per_l) {
    return Percent(100.0 * extract_g_per_l * alcohol_per_extract / ethanol_20c_kg_m3);
}

} // namespace lotwort::wort
