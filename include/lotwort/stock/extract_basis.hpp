// How a stated extract turns into fine-grind dry-basis per cent, once for plain numbers and for Duals.
#pragma once

#include <cstddef>
#include <lotwort/core/dual.hpp>
#include <lotwort/stock/item.hpp>
#include <lotwort/stock/malt_analysis.hpp>

namespace lotwort {

// A basis taken apart. The enumeration runs unit by unit: fine dry, fine as-is, coarse dry, coarse as-is.
struct BasisParts {
    double per_cent_of_unit; // per cent extract of one unit of the stated value
    bool coarse;
    bool as_is;
};

[[nodiscard]] constexpr BasisParts parts_of(ExtractBasis basis) {
    constexpr double per_cent_of_l_per_kg = 100.0 / sucrose_litre_degrees;
    constexpr double scale[] = {1.0, per_cent_of_l_per_kg, per_cent_of_l_per_kg * litre_degrees_per_ppg};
    const auto index = static_cast<std::size_t>(basis);
    return {scale[index / 4], index % 4 >= 2, index % 2 == 1};
}

// The most that can be stated on a basis: pure sucrose, 100 % of the malt, and in thin wort, where a gram lends most,
// 386.4 L deg/kg or 46.3 ppg (malt_analysis.hpp).
[[nodiscard]] inline double most_stated(ExtractBasis basis) {
    constexpr double thin_g_per_l = 10.0;
    const auto unit = static_cast<std::size_t>(basis) / 4;
    if (unit == 0) return 100.0;
    const double litre_degrees = litre_degrees_of_sucrose(thin_g_per_l);
    return unit == 1 ? litre_degrees : litre_degrees / litre_degrees_per_ppg;
}

// moisture and difference in per cent and points
template <class Real>
[[nodiscard]] constexpr Real fine_dry_of(Real stated, ExtractBasis basis, Real moisture, Real difference) {
    const BasisParts parts = parts_of(basis);
    Real extract = stated * Real(parts.per_cent_of_unit);
    if (parts.as_is) extract = dry_pct(extract, moisture);
    if (parts.coarse) extract = extract + difference;
    return extract;
}

// The way back.
template <class Real>
[[nodiscard]] constexpr Real stated_of_fine_dry(Real fine_dry, ExtractBasis basis, Real moisture, Real difference) {
    const BasisParts parts = parts_of(basis);
    Real extract = fine_dry;
    if (parts.coarse) extract = extract - difference;
    if (parts.as_is) extract = as_is_pct(extract, moisture);
    return extract / Real(parts.per_cent_of_unit);
}

} // namespace lotwort
