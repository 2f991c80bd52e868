#include "reading_figure.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/reading_meaning.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/hydrometer.hpp>

namespace lotwort::infer_detail {

namespace {

// Mass fraction by the mark, with the mark's slope.
Dual<1> fraction_behind(const BrewEquation& e) {
    const auto mark = Dual<1>::parameter(e.observed, 0);
    switch (e.scale) {
    case Scale::sg:
        return wort::mass_fraction_of_mark(mark, e.at_c, e.calibration_c);
    case Scale::plato:
        return wort::mass_fraction_of_plato_mark(mark, e.at_c, e.calibration_c);
    case Scale::sg_at_20:
        return wort::mass_fraction_of_gravity(mark);
    case Scale::plato_at_20:
        return mark / 100.0;
    case Scale::brix:
        return mark * (e.brix_to_plato / 100.0);
    case Scale::litres:
    case Scale::kilograms:
        break;
    }
    report_bug("a gravity has a gravity's scale", std::source_location::current());
}

} // namespace

bool is_glass(const BrewEquation& e) {
    return e.scale == Scale::sg || e.scale == Scale::plato;
}

Estimate plato_behind(const BrewEquation& e) {
    const auto fraction = fraction_behind(e);
    return normal_estimate(100.0 * fraction.value, 100.0 * std::abs(fraction.slope[0]) * e.sd());
}

std::pair<Estimate, Estimate> litres_behind(const BrewEquation& e, double mass_fraction) {
    const double at_20 = wort::sucrose_density_kg_m3(mass_fraction, 20.0);
    if (e.scale == Scale::kilograms) {
        const Estimate litres = normal_estimate(e.observed * 1000.0 / at_20, e.sd() * 1000.0 / at_20);
        return {litres, litres};
    }
    // above 100 °C, in a kettle at the boil, the formulas end and the difference is below a reading's own
    const double at = std::min(e.at_c, wort::most_wort_c);
    const double walls = 1.0 + e.expansion_per_c * (at - 20.0);
    const double cooled = walls * wort::sucrose_density_kg_m3(mass_fraction, at) / at_20;
    return {normal_estimate(e.observed * walls, e.sd() * walls), normal_estimate(e.observed * cooled, e.sd() * cooled)};
}

double warm_sample_sd(const BrewEquation& e) {
    if (!is_glass(e) || e.at_c <= warmest_sample_c) return 0.0;
    const double w = fraction_behind(e).value;
    const auto at = Dual<1>::parameter(e.at_c, 0);
    const double per_degree = e.scale == Scale::sg ? wort::hydrometer_mark_of(w, at, e.calibration_c).slope[0]
                                                   : wort::hydrometer_plato_mark_of(w, at, e.calibration_c).slope[0];
    return std::abs(per_degree) * cooled_unseen * (e.at_c - warmest_sample_c);
}

} // namespace lotwort::infer_detail
