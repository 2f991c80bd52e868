#include "range.hpp"
#include <lotwort/wort/gravity.hpp>

namespace lotwort::wort {

namespace {

double fraction(Plato extract) {
    require_extract(extract);
    return extract.value() / 100.0;
}

// The extract whose relative density at base_c, weighed in that air (0: in vacuo), is `gravity`.
Plato plato_at_base(double gravity, double base_c, double air_kg_m3, std::string_view what) {
    const double water = icumsa::water_density_kg_m3(base_c) - air_kg_m3;
    return plato_in_range(
        gravity, [&](double w) { return (sucrose_density_kg_m3(w, base_c) - air_kg_m3) / water; },
        [&](double s) { return solve_mass_fraction(s * water + air_kg_m3, base_c); }, [&] { return what; });
}

} // namespace

SpecificGravity specific_gravity(Plato extract) {
    return SpecificGravity(specific_gravity_of(fraction(extract)));
}
ApparentGravity apparent_gravity(Plato extract) {
    return ApparentGravity(apparent_gravity_of(fraction(extract)));
}
Gravity60F gravity_60f(Plato extract) {
    return Gravity60F(relative_density_of(fraction(extract), sixty_fahrenheit_c));
}
Gravity15C gravity_15c(Plato extract) {
    return Gravity15C(relative_density_of(fraction(extract), 15.0));
}

Plato plato(SpecificGravity gravity) {
    return plato_at_base(gravity.value(), 20.0, 0.0, "specific gravity 20/20");
}
Plato plato(ApparentGravity gravity) {
    return plato_at_base(gravity.value(), 20.0, air_density_kg_m3, "specific gravity 20/20 in air");
}
Plato plato(Gravity60F gravity) {
    return plato_at_base(gravity.value(), sixty_fahrenheit_c, 0.0, "specific gravity 60 F/60 F");
}
Plato plato(Gravity15C gravity) {
    return plato_at_base(gravity.value(), 15.0, 0.0, "specific gravity 15/15");
}

} // namespace lotwort::wort
