#include "poured.hpp"
#include "reconcile/brew_evidence.hpp"
#include "reconcile/equations.hpp"
#include "reconcile/reading_equation.hpp"
#include "reconcile/reading_figure.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <lotwort/wort/gravity.hpp>

namespace lotwort::infer_detail {

namespace {

// `of` reads the figure behind an equation.
template <class Of>
CameFigure came_figure(const ReconcileInput& in, const BrewEquation& e, Of&& of) {
    BrewEquation fresh = e, lasting = e;
    fresh.bias_sd *= std::sqrt(1.0 - lasting_share);
    lasting.own_sd = 0.0;
    return {of(fresh), instrument_key(in, e.instrument), of(lasting).sd};
}

Came came_of(const ReconcileInput& in) {
    Came came;
    double fraction = 0.1;
    for (const auto& r : in.brew.readings) {
        if (r.set_aside || r.point != ReadingPoint::fermenter) continue;
        if (const auto e = gravity_equation(in, r, Quantity::fermenter))
            came.gravity_sg = came_figure(in, *e, [&](const BrewEquation& equation) {
                const Estimate plato = plato_behind(equation);
                fraction = plato.value / 100.0;
                const auto sg = wort::specific_gravity_of(Dual<1>::parameter(fraction, 0));
                return normal_estimate(sg.value, sg.slope[0] * plato.sd / 100.0);
            });
        if (const auto e = volume_equation(in, r, Quantity::fermenter))
            came.volume_l = came_figure(
                in, *e, [&](const BrewEquation& equation) { return litres_behind(equation, fraction).second; });
    }
    return came;
}

bool is_read(const BrewModel& model, Quantity quantity) {
    return std::ranges::any_of(model.equations,
                               [&](const BrewEquation& e) { return !e.is_expectation && e.quantity == quantity; });
}

double litres_read(const BrewModel& model, Quantity quantity) {
    double sum = 0.0;
    for (const auto& e : model.equations)
        if (!e.is_expectation && e.quantity == quantity) sum += litres_behind(e, 0.0).second.value;
    return sum;
}

void add_weighed(const ReconcileInput& in, Poured& p) {
    for (const auto& a : in.brew.additions) {
        if (a.amount.measure != Measure::mass) continue;
        const auto& [item, lot] = in.lots.at(a.lot);
        if (a.stage == Stage::mash && (item.kind == ItemKind::malt || item.kind == ItemKind::sugar))
            p.malts.push_back({a.lot, a.amount.kilograms(), malt_figures(item, lot, in.brew.date)});
        if (item.kind == ItemKind::hop)
            p.hops.push_back({a.lot, a.stage, a.minutes.value_or(Minutes(0.0)), a.amount.grams(), {}, std::nullopt});
    }
}

std::optional<Poured> poured_of(const ReconcileInput& in) {
    if (in.brew.abandoned || !in.earlier_in_fermenter.empty() || !in.later_in_fermenter.empty() ||
        in.untied_before + in.untied_after > 0)
        return std::nullopt;
    const BrewModel model = brew_model(in);
    if (model.equations.empty()) return std::nullopt;
    const ModelBrew& brew = model.brews[model.asked];
    if (brew.mashes.size() > 1 || is_read(model, Quantity::top_up) || is_read(model, Quantity::kettle_liquor))
        return std::nullopt;
    Poured p;
    p.came = came_of(in);
    if (!p.came.gravity_sg && !p.came.volume_l) return std::nullopt;
    p.recipe = in.recipe.value_or(Recipe{});
    if (in.brew.boil) p.recipe.boil = in.brew.boil;
    add_weighed(in, p);
    p.sugar_kg = brew.kettle.sugar_kg;
    if (is_read(model, Quantity::liquor_total))
        p.liquor_l = litres_read(model, Quantity::liquor_total);
    else if (is_read(model, Quantity::strike_liquor) &&
             (is_read(model, Quantity::sparge_liquor) || kit_of(in.brewhouse).sparge == Sparge::none))
        p.liquor_l = litres_read(model, Quantity::strike_liquor) + litres_read(model, Quantity::sparge_liquor);
    return p;
}

} // namespace

std::optional<Poured> poured_or_none(const ReconcileInput& in) {
    try {
        return poured_of(in);
    } catch (const Error&) {
        return std::nullopt;
    }
}

Forecast forecast_of(const Poured& p, const ReconcileInput& in, const Learned& learned) {
    const Kit kit = kit_of(in.brewhouse);
    double litres = in.recipe ? in.recipe->volume.value() : kit.volume_l;
    const auto at = [&] {
        return forecast(p.recipe, Litres(litres), kit, p.malts, p.hops, Kilograms(p.sugar_kg), &learned);
    };
    Forecast f = at();
    // a litre more of liquor is a litre more of wort, nearly
    constexpr int most_steps = 8;
    for (int i = 0; i < most_steps && p.liquor_l > 0.0; ++i) {
        const double more = p.liquor_l - f.strike_liquor_l - f.sparge_liquor_l;
        if (std::abs(more) < 1e-3 * p.liquor_l || litres + more <= 0.0) break;
        litres += more;
        f = at();
    }
    return f;
}

} // namespace lotwort::infer_detail
