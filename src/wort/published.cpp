#include "range.hpp"
#include <lotwort/wort/published.hpp>

namespace lotwort::wort::published {

namespace {

// The gravities of 0 and 30 P and of 40 Bx, a hair wider so that the tables' own ends pass.
double checked(ApparentGravity gravity, double most) {
    require_range(gravity.value(), 0.9999, most, "specific gravity 20/20 in air");
    return gravity.value();
}

double asbc(double s) {
    return ((135.997 * s - 630.272) * s + 1111.14) * s - 616.868;
}

} // namespace

Plato plato_asbc(ApparentGravity gravity) {
    return Plato(asbc(checked(gravity, 1.13)));
}

ApparentGravity gravity_asbc(Plato extract) {
    require_range(extract.value(), 0.0, 30.0, "extract in Plato");
    double low = 0.99, high = 1.14;
    for (int halving = 0; halving < 60; ++halving) {
        const double middle = 0.5 * (low + high);
        (asbc(middle) < extract.value() ? low : high) = middle;
    }
    return ApparentGravity(0.5 * (low + high));
}

Plato brix_nbs(ApparentGravity gravity) {
    const double s = checked(gravity, 1.18);
    return Plato(((182.4601 * s - 775.6821) * s + 1262.7794) * s - 669.5622);
}

Plato plato_lincoln(ApparentGravity gravity) {
    const double s = checked(gravity, 1.13);
    return Plato((463.0 - 205.0 * s) * (s - 1.0));
}

Plato plato_de_clerck(ApparentGravity gravity) {
    const double s = checked(gravity, 1.13);
    return Plato(668.72 * s - 463.37 - 205.347 * s * s);
}

ApparentGravity gravity_inverse_form(Plato extract) {
    require_range(extract.value(), 0.0, 30.0, "extract in Plato");
    const double p = extract.value();
    return ApparentGravity(1.0 + p / (258.6 - 227.1 * p / 258.2));
}

} // namespace lotwort::wort::published
