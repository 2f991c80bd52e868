#include "believed.hpp"
#include "final_beer.hpp"
#include "reading_equation.hpp"
#include "reading_figure.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/beer_as_read.hpp>
#include <lotwort/infer/liquor_after.hpp>
#include <lotwort/stock/malt.hpp>
#include <lotwort/wort/alcohol.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort {

namespace {

using namespace infer_detail;

std::optional<Estimate> gravity_at(const ReconcileInput& input, ReadingPoint point) {
    std::optional<Estimate> last;
    for (const Reading& r : input.brew.readings) {
        if (r.point != point || r.set_aside || !(r.gravity_sg || r.gravity_plato || r.brix)) continue;
        try {
            const auto equation = gravity_equation(input, r, infer_detail::Quantity::fermenter);
            const Estimate plato = plato_behind(believed(input, *equation));
            const auto sg = wort::specific_gravity_of(Dual<1>::parameter(plato.value / 100.0, 0));
            last = filled_up(input, r, normal_estimate(sg.value, sg.slope[0] * plato.sd / 100.0));
        } catch (const Error&) { // reconcile says what is wrong with it
            continue;
        }
    }
    return last;
}

std::optional<double> litres_in_fermenter(const ReconcileInput& input, const std::optional<Estimate>& original) {
    std::optional<double> last;
    const double fraction = original ? wort::mass_fraction_of_gravity(original->value) : 0.0;
    for (const Reading& r : input.brew.readings) {
        if (r.point != ReadingPoint::fermenter || r.set_aside || !(r.volume || r.depth || r.mass)) continue;
        try {
            last = litres_behind(*volume_equation(input, r, infer_detail::Quantity::fermenter), fraction).second.value +
                   liquor_after(input, r);
        } catch (const Error&) {
            continue;
        }
    }
    return last;
}

// kg of extract in what went in before the fermenter; 0 where a paper makes no sense.
double extract_weighed(const ReconcileInput& input) {
    double sum = 0.0;
    for (const Addition& addition : input.brew.additions) {
        const auto used = input.lots.find(addition.lot);
        if (used == input.lots.end() || addition.stage == Stage::fermenter || addition.stage == Stage::dry) continue;
        const auto kind = used->second.item.kind;
        if ((kind != ItemKind::malt && kind != ItemKind::sugar) || addition.amount.measure != Measure::mass) continue;
        try {
            sum += addition.amount.kilograms().value() *
                   malt_figures(used->second.item, used->second.lot, input.brew.date).extract_as_is.value;
        } catch (const Error&) {
            return 0.0;
        }
    }
    return sum;
}

} // namespace

BeerAsRead beer_as_read(const ReconcileInput& input) {
    BeerAsRead beer;
    beer.original_sg = gravity_at(input, ReadingPoint::fermenter);
    if (!beer.original_sg) beer.original_sg = gravity_at(input, ReadingPoint::cast_out);
    beer.fermenter_l = litres_in_fermenter(input, beer.original_sg);
    const double weighed = extract_weighed(input);
    const bool alone = input.earlier_in_fermenter.empty() && input.later_in_fermenter.empty() &&
                       input.untied_before + input.untied_after == 0;
    if (beer.fermenter_l && beer.original_sg && weighed > 0.0 && alone) {
        const double fraction = wort::mass_fraction_of_gravity(beer.original_sg->value);
        beer.efficiency = *beer.fermenter_l * wort::sucrose_density_kg_m3(fraction, 20.0) * fraction / 1000.0 / weighed;
    }
    const wort::LateExtract late = late_extract(input);
    const auto original = late.is_any() && beer.original_sg && beer.fermenter_l
                              ? original_with(*beer.original_sg, {*beer.fermenter_l, 0.0, 0.0, 0.0}, late)
                              : beer.original_sg;
    if (const auto found = final_beer(input, original).gravity) beer.final_sg = found->sg;
    if (!original || !beer.final_sg || beer.final_sg->value >= original->value) return beer;
    const auto plato_of = [](const Estimate& sg, std::size_t place) {
        return wort::mass_fraction_of_gravity(Dual<2>::parameter(sg.value, place)) * 100.0;
    };
    const auto abv = wort::alcohol_by_volume_pct(plato_of(*original, 0), plato_of(*beer.final_sg, 1));
    beer.alcohol_abv_pct =
        normal_estimate(abv.value, std::hypot(abv.slope[0] * original->sd, abv.slope[1] * beer.final_sg->sd,
                                              wort::alcohol_rule_spread * abv.value));
    return beer;
}

} // namespace lotwort
