#include "range.hpp"
#include <lotwort/wort/published.hpp>

namespace lotwort::wort::published {

namespace {

// The gravities of 0 and 30 P and of 40 Bx, a hair wider so that the tables' own ends pass.
double checked(ApparentGravity gravity, double most) {
    require_range(gravity.value(), 0.9999, most, "specific gravity 20/20 in air");
    return gravity.value();
}

double checked(Plato extract) {
    require_range(extract.value(), 0.0, 30.0, "extract in Plato");
    return extract.value();
}

} // namespace

double solve_asbc_cubic(double plato) {
    double low = 0.9, high = 1.3; // -28 to 61 P, over which the cubic rises
    for (int halving = 0; halving < 60; ++halving) {
        const double middle = 0.5 * (low + high);
        (asbc_cubic(middle) < plato ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

Plato plato_asbc(ApparentGravity gravity) {
    return Plato(asbc_cubic(checked(gravity, 1.13)));
}

ApparentGravity gravity_asbc(Plato extract) {
    return ApparentGravity(asbc_cubic_inverse(checked(extract)));
}

Plato brix_nbs(ApparentGravity gravity) {
    return Plato(nbs_cubic(checked(gravity, 1.18)));
}

Plato plato_lincoln(ApparentGravity gravity) {
    return Plato(lincoln_quadratic(checked(gravity, 1.13)));
}

Plato plato_de_clerck(ApparentGravity gravity) {
    return Plato(de_clerck_quadratic(checked(gravity, 1.13)));
}

ApparentGravity gravity_inverse_form(Plato extract) {
    return ApparentGravity(inverse_form(checked(extract)));
}

} // namespace lotwort::wort::published
