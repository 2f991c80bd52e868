#include "range.hpp"
#include <lotwort/wort/hop_analysis.hpp>

namespace lotwort::wort {

namespace {

constexpr double most_absorbance = 5.0;

} // namespace

HopAnalysis hop_analysis(double dilution, const HopAbsorbance<double>& absorbance) {
    require_range(dilution, 1e-6, 1000.0, "dilution factor");
    require_range(absorbance.a275, 0.0, most_absorbance, "absorbance at 275 nm");
    require_range(absorbance.a325, 1e-6, most_absorbance, "absorbance at 325 nm");
    require_range(absorbance.a355, 0.0, most_absorbance, "absorbance at 355 nm");
    return {Percent(asbc_alpha_pct(dilution, absorbance)), Percent(asbc_beta_pct(dilution, absorbance)),
            storage_index(absorbance)};
}

BitternessUnits bitterness_of_absorbance(double a275) {
    require_range(a275, 0.0, most_absorbance, "absorbance at 275 nm");
    return BitternessUnits(bitterness_units_of_absorbance(a275));
}

} // namespace lotwort::wort
