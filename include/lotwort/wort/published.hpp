// Other people's formulas for Plato and gravity, kept so that a brewer can see why a spreadsheet differs.
//
// Nothing else in the program computes with them. All are fits to tables printed in air, so they take and give
// ApparentGravity. The templates are in plain numbers, Real double or Dual<N>, and unchecked; the functions on
// quantities refuse (Error) what lies outside the range each states.
#pragma once

#include <lotwort/wort/gravity.hpp>

namespace lotwort::wort::published {

// 135.997 S^3 - 630.272 S^2 + 1111.14 S - 616.868, the cubic to the ASBC table. 0 to 30 P; within 0.003 P of the
// table to 22 P, 0.025 low at 30.
template <class Real>
[[nodiscard]] constexpr Real asbc_cubic(Real s) {
    return ((135.997 * s - 630.272) * s + 1111.14) * s - 616.868;
}
[[nodiscard]] Plato plato_asbc(ApparentGravity gravity);

// The gravity at which the ASBC cubic gives that Plato, to 1e-12, with its slope.
[[nodiscard]] double solve_asbc_cubic(double plato);
template <class Real>
[[nodiscard]] Real asbc_cubic_inverse(Real plato) {
    const auto s = Dual<1>::parameter(solve_asbc_cubic(value_of(plato)), 0);
    const auto there = asbc_cubic(s);
    return Real(s.value) + (plato - there.value) / there.slope[0];
}
[[nodiscard]] ApparentGravity gravity_asbc(Plato extract);

// 182.4601 S^3 - 775.6821 S^2 + 1262.7794 S - 669.5622, the cubic to NBS C440. 0 to 40 Bx, 0.001.
template <class Real>
[[nodiscard]] constexpr Real nbs_cubic(Real s) {
    return ((182.4601 * s - 775.6821) * s + 1262.7794) * s - 669.5622;
}
[[nodiscard]] Plato brix_nbs(ApparentGravity gravity);

// (463 - 205 S)(S - 1): R. H. Lincoln, MBAA Tech. Q. 24 (1987) 129-132. 0 to 30 P; 0.006 P to 20 P, 0.10 low at 30.
template <class Real>
[[nodiscard]] constexpr Real lincoln_quadratic(Real s) {
    return (463.0 - 205.0 * s) * (s - 1.0);
}
[[nodiscard]] Plato plato_lincoln(ApparentGravity gravity);

// 668.72 S - 463.37 - 205.347 S^2: J. De Clerck, A Textbook of Brewing, 1957 (recalled). As Lincoln's.
template <class Real>
[[nodiscard]] constexpr Real de_clerck_quadratic(Real s) {
    return 668.72 * s - 463.37 - 205.347 * s * s;
}
[[nodiscard]] Plato plato_de_clerck(ApparentGravity gravity);

// 1 + P/(258.6 - 227.1 P/258.2), the inverse form printed in suppliers' catalogues. 0 to 30 P; 2.5e-5 to 25 P.
template <class Real>
[[nodiscard]] constexpr Real inverse_form(Real plato) {
    return 1.0 + plato / (258.6 - plato * (227.1 / 258.2));
}
[[nodiscard]] ApparentGravity gravity_inverse_form(Plato extract);

} // namespace lotwort::wort::published
