#include <algorithm>
#include <cmath>
#include <lotwort/brew/recipe_gravity.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort {

namespace {

constexpr double least_gravity = 0.98, most_gravity = 1.4;

double plato_of(double gravity) {
    return wort::plato(SpecificGravity(std::clamp(gravity, least_gravity, most_gravity))).value();
}

} // namespace

SpecificGravity gravity_of(Plato original_extract) {
    return SpecificGravity(std::round(wort::specific_gravity(original_extract).value() * 1e6) / 1e6);
}

double gravity_difference(Plato difference, SpecificGravity at) {
    const Plato there = wort::plato(at);
    return (wort::specific_gravity(there + difference) - at).value();
}

Estimate in_plato(const Estimate& gravity) {
    if (gravity.value < least_gravity || gravity.value > most_gravity) return {};
    const auto extract = wort::mass_fraction_of_gravity(Dual<1>::parameter(gravity.value, 0));
    return {100.0 * extract.value, 100.0 * extract.slope[0] * gravity.sd, plato_of(gravity.low),
            plato_of(gravity.high)};
}

} // namespace lotwort
