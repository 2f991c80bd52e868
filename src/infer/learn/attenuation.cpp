#include "attenuation.hpp"
#include "reconcile/final_beer.hpp"
#include "reconcile/reading_equation.hpp"
#include "reconcile/reading_figure.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/brew/kit.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/liquor_after.hpp>
#include <lotwort/stats/gaussian_model.hpp>
#include <lotwort/stats/scale_grid.hpp>
#include <lotwort/wort/gravity.hpp>
#include <lotwort/wort/hydrometer.hpp>

namespace lotwort::infer_detail {

namespace {

using stats::GaussianSolver;
using Want = GaussianSolver::Want;

// Priors, one sd each; judgement (docs/methods/learn.md).
constexpr double house_sd = 0.03;             // all beers of the brewery against what recipes state
constexpr double yeast_sd = 0.03;             // yeasts against one another
constexpr double beer_sd = 0.02;              // one beer about its yeast
constexpr double rest_slope_sd_per_c = 0.015; // wide: warmer rests leave more behind
constexpr double typical_attenuation = 0.75;
constexpr double packaged_mean = 0.95, packaged_level_sd = 0.03, packaged_sd = 0.02;

struct Fermented {
    std::string yeast; // empty: none weighed in
    double difference; // of apparent attenuation from the recipe's
    double reading_sd; // of it
    std::optional<double> rest_c;
    std::optional<double> packaged; // share of the fermenter's volume
};

std::string yeast_of(const ReconcileInput& in) {
    for (const auto& addition : in.brew.additions) {
        const auto used = in.lots.find(addition.lot);
        if (used != in.lots.end() && used->second.item.kind == ItemKind::yeast) return used->second.item.name;
    }
    return {};
}

// The last reading at a point that has what is wanted.
template <class Has>
const Reading* last_at(const Brew& brew, ReadingPoint point, Has&& has) {
    const Reading* found = nullptr;
    for (const auto& r : brew.readings)
        if (r.point == point && !r.set_aside && has(r)) found = &r;
    return found;
}
template <class Has>
const Reading* last_at(const Brew&&, ReadingPoint, Has&&) = delete;

// By whatever instrument the end was read; none where it was not, or makes no sense.
std::optional<Estimate> final_plato(const ReconcileInput& in, const Estimate& original_plato) {
    const auto sg = [](const Estimate& plato) {
        const auto at = wort::specific_gravity_of(Dual<1>::parameter(plato.value / 100.0, 0));
        return normal_estimate(at.value, at.slope[0] * plato.sd / 100.0);
    };
    const auto found = final_beer(in, sg(original_plato)).gravity;
    if (!found) return std::nullopt;
    const auto plato = wort::mass_fraction_of_gravity(Dual<1>::parameter(found->sg.value, 0));
    return normal_estimate(100.0 * plato.value, 100.0 * plato.slope[0] * found->sg.sd);
}

std::optional<Fermented> fermented(const ReconcileInput& in) {
    const auto has_gravity = [](const Reading& r) { return r.gravity_sg || r.gravity_plato; };
    const auto* start = last_at(in.brew, ReadingPoint::fermenter, has_gravity);
    if (!start) return std::nullopt;
    auto original = gravity_in_plato(in, *start);
    if (original) {
        const double sg = wort::specific_gravity_of(original->value / 100.0);
        original->value = wort::plato(SpecificGravity(filled_up(in, *start, {sg, 0.0, 0.0, 0.0}).value)).value();
    }
    if (!original || original->value < 2.0) return std::nullopt;
    const auto final = final_plato(in, *original);
    if (!final) return std::nullopt;
    Fermented f;
    f.yeast = yeast_of(in);
    const double stated =
        in.recipe && in.recipe->attenuation ? in.recipe->attenuation->value() / 100.0 : typical_attenuation;
    const double attenuation = 1.0 - final->value / original->value;
    if (attenuation < 0.2 || attenuation > 1.1) return std::nullopt; // still fermenting, or a slip
    f.difference = attenuation - stated;
    f.reading_sd = std::hypot(final->sd, (1.0 - attenuation) * original->sd) / original->value;
    if (const auto* mash =
            last_at(in.brew, ReadingPoint::mash, [](const Reading& r) { return r.temperature.has_value(); }))
        f.rest_c = mash->temperature->value();
    else if (in.recipe && in.recipe->mash_rest)
        f.rest_c = in.recipe->mash_rest->value();
    return f;
}

std::optional<double> packaged_share(const ReconcileInput& in) {
    const Brew& brew = in.brew;
    const auto has_volume = [](const Reading& r) { return r.volume.has_value(); };
    const auto* start = last_at(brew, ReadingPoint::fermenter, has_volume);
    const auto* end = last_at(brew, ReadingPoint::final_beer, has_volume);
    if (!start || !end || start->volume->value() <= 0.0) return std::nullopt;
    return end->volume->value() / (start->volume->value() + liquor_after(in, *start));
}

void learn_attenuation(const std::vector<Fermented>& beers, Learning& out) {
    if (beers.empty()) return;
    stats::GaussianModel m;
    const int scatter = m.add_scale();
    const int house = m.add_unknown(), slope = m.add_unknown();
    m.say({{house, 1.0}}, 0.0, house_sd);
    m.say({{slope, 1.0}}, 0.0, rest_slope_sd_per_c);
    std::map<std::string, int> yeasts, counts;
    for (const auto& beer : beers) {
        if (!yeasts.contains(beer.yeast)) {
            yeasts[beer.yeast] = m.add_unknown();
            m.say({{yeasts[beer.yeast], 1.0}, {house, -1.0}}, 0.0, yeast_sd);
        }
        ++counts[beer.yeast];
        const int own = m.add_unknown(); // this beer's true attenuation
        std::vector<stats::Term> terms{{own, 1.0}, {yeasts[beer.yeast], -1.0}};
        if (beer.rest_c) terms.push_back({slope, out.next.rest_reference_c - *beer.rest_c});
        m.say(terms, 0.0, beer_sd, scatter);
        m.say({{own, 1.0}}, beer.difference, beer.reading_sd);
    }
    GaussianSolver solver(m);
    const auto grid = stats::integrate_scales({{0.0, 0.5}}, [&](const std::vector<double>& s, std::vector<double>& by) {
        const auto& fit = solver.fit(s, Want::variances);
        by = fit.gradient;
        return fit.log_likelihood;
    });
    const auto moments = [&](int unknown, bool with_scatter, double own_sd) {
        double mean = 0.0, square = 0.0;
        for (const auto& point : grid.points) {
            const auto& fit = solver.fit(point.log_scales, Want::variances);
            const auto k = static_cast<std::size_t>(unknown);
            mean += point.weight * fit.mean[k];
            square += point.weight * (fit.variance[k] + fit.mean[k] * fit.mean[k] + own_sd * own_sd +
                                      (with_scatter ? beer_sd * beer_sd * std::exp(2.0 * point.log_scales[0]) : 0.0));
        }
        return std::pair(mean, std::sqrt(square - mean * mean));
    };
    for (const auto& [yeast, unknown] : yeasts) {
        const auto [mean, sd] = moments(unknown, true, 0.0);
        out.next.attenuation[yeast] = {mean, sd, counts[yeast]};
        const auto [level, level_sd] = moments(unknown, false, 0.0);
        out.others.emplace_back("attenuation" + (yeast.empty() ? std::string() : " by " + yeast) +
                                    " against the recipes",
                                normal_estimate(level, level_sd));
    }
    if (!yeasts.contains("")) { // any other yeast
        const auto [mean, sd] = moments(house, true, yeast_sd);
        out.next.attenuation[""] = {mean, sd, 0};
    }
    const auto [by_c, by_c_sd] = moments(slope, false, 0.0);
    out.next.attenuation_slope_per_c = by_c;
    out.next.attenuation_slope_sd_per_c = by_c_sd;
    const bool rests = std::ranges::any_of(beers, [](const Fermented& b) { return b.rest_c.has_value(); });
    if (rests) out.others.emplace_back("attenuation per degree of mash rest", normal_estimate(by_c, by_c_sd));
}

void learn_packaging(const std::vector<double>& shares, Learning& out) {
    if (shares.empty()) return;
    stats::GaussianModel m;
    const int level = m.add_unknown();
    m.say({{level, 1.0}}, packaged_mean, packaged_level_sd);
    for (const double share : shares) m.say({{level, 1.0}}, share, packaged_sd);
    GaussianSolver solver(m);
    const auto& fit = solver.fit({}, Want::variances);
    out.next.packaged_share = fit.mean[0];
    out.next.packaged_share_sd = std::hypot(std::sqrt(fit.variance[0]), packaged_sd);
    out.others.emplace_back("packaged of the fermenter's volume",
                            normal_estimate(fit.mean[0], std::sqrt(fit.variance[0])));
}

} // namespace

namespace {

Estimate read_in_plato(const ReconcileInput& in, const Reading& r) {
    const auto instrument =
        instrument_for(r.gravity_instrument, InstrumentKind::hydrometer, in.brewhouse, r.point, in.instruments);
    const double figure = std::hypot(instrument.repeatability.value_or(0.0), instrument.bias_sd.value_or(0.0),
                                     instrument.resolution.value_or(0.0) / std::sqrt(12.0));
    const bool in_sg = !instrument.unit || *instrument.unit == "sg";
    const double sd = std::max(in_sg ? figure / 0.004 : figure, 0.02);
    return normal_estimate(plato_behind(*gravity_equation(in, r, Quantity::fermenter)).value, sd);
}

} // namespace

std::optional<Estimate> gravity_in_plato(const ReconcileInput& in, const Reading& r) {
    if (r.set_aside || (!r.gravity_sg && !r.gravity_plato)) return std::nullopt;
    try {
        return read_in_plato(in, r);
    } catch (const Error&) { // a mark that neither wort nor beer shows: reconcile names it
        return std::nullopt;
    }
}

void learn_after_the_kettle(const std::vector<const ReconcileInput*>& brews,
                            const std::map<std::string, double>& packaged, Learning& out) {
    std::vector<Fermented> beers;
    std::vector<double> shares;
    for (const auto* in : brews) {
        if (auto beer = fermented(*in)) beers.push_back(*beer);
        if (const auto counted = packaged.find(in->brew.code); counted != packaged.end())
            shares.push_back(counted->second);
        else if (auto share = packaged_share(*in))
            shares.push_back(*share);
    }
    learn_attenuation(beers, out);
    learn_packaging(shares, out);
}

} // namespace lotwort::infer_detail
