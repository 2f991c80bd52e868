#include "inputs.hpp"
#include "learn/attenuation.hpp"
#include "reconcile/answer.hpp"
#include "reconcile/brew_problem.hpp"
#include "reconcile/equations.hpp"
#include "reconcile/final_beer.hpp"
#include "reconcile/settled.hpp"
#include <algorithm>
#include <cmath>
#include <Eigen/Core>
#include <fmt/format.h>
#include <lotwort/brew/forecast.hpp>
#include <lotwort/brew/liquor.hpp>
#include <lotwort/brew/mash_grist.hpp>
#include <lotwort/core/error.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/infer/explain.hpp>
#include <lotwort/infer/late_extract.hpp>
#include <lotwort/infer/reconcile.hpp>
#include <lotwort/wort/alcohol.hpp>

namespace lotwort {

namespace {

using namespace infer_detail;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

struct Grist {
    std::vector<PlannedMalt> malts;
    double mass_kg = 0.0, moisture_kg = 0.0, certified_kg = 0.0;
    void add(const std::string& lot, double kg, const MaltFigures& figures) {
        malts.push_back({lot, Kilograms(kg), figures});
        mass_kg += kg;
        moisture_kg += kg * figures.moisture_pct.value / 100.0;
        certified_kg += kg * figures.extract_as_is.value;
    }
};

bool in_mash(const UsedLot& used) {
    return used.item.kind == ItemKind::malt || used.item.kind == ItemKind::sugar;
}

Grist weighed_grist(const ReconcileInput& in) {
    Grist g;
    for (const auto& a : in.brew.additions)
        if (a.stage == Stage::mash && a.amount.measure == Measure::mass && in_mash(in.lots.at(a.lot)))
            g.add(a.lot, a.amount.kilograms().value(),
                  malt_figures(in.lots.at(a.lot).item, in.lots.at(a.lot).lot, in.brew.date));
    return g;
}

// What the plan promised of the recipe's grist; lots that are not among the brew's own are left to the weights' part.
std::optional<Grist> planned_grist(const ExplainRequest& request) {
    if (!request.plan || !request.brew.recipe || request.plan->recipe != request.brew.recipe->name) return std::nullopt;
    Grist g;
    for (const auto& r : request.plan->reserved) {
        const auto used = request.brew.lots.find(r.lot);
        if (r.line >= static_cast<int>(request.brew.recipe->grist.size()) || used == request.brew.lots.end()) continue;
        g.add(r.lot, r.amount.kilograms().value(),
              malt_figures(used->second.item, used->second.lot, request.brew.brew.date));
    }
    if (g.certified_kg <= 0.0) return std::nullopt;
    return g;
}

// The brewhouse's book with what past brews taught in it, so that the balance of this brew expects that.
Brewhouse taught(Brewhouse house, const Learned& l) {
    const auto sd = [&](std::size_t i) { return std::sqrt(l.cov(i, i) + l.scatter[i] * l.scatter[i]); };
    const double conversion_mean = std::exp(l.mean[0]), lauter_mean = std::exp(l.mean[1]);
    house.conversion = Percent(100.0 * conversion_mean);
    house.conversion_sd = Percent(100.0 * conversion_mean * sd(0));
    house.lauter_of_expected = Percent(100.0 * lauter_mean);
    house.lauter_sd = Percent(100.0 * lauter_mean * sd(1));
    house.boil_off = LitresPerHour(l.mean[2]);
    house.boil_off_sd = LitresPerHour(sd(2));
    house.absorption = LitresPerKilogram(l.mean[3]);
    house.absorption_sd = LitresPerKilogram(sd(3));
    house.kettle_loss = Litres(l.mean[4]);
    house.kettle_loss_sd = Litres(sd(4));
    house.conversion_level_sd = house.lauter_level_sd = std::nullopt;
    house.boil_off_level_sd = std::nullopt;
    house.absorption_level_sd = std::nullopt;
    house.kettle_loss_level_sd = std::nullopt;
    return house;
}

// ln of the malts' true extract over their certificates', as learned, with its variance.
std::pair<double, double> learned_malts(const Grist& g, const Learned& l) {
    double mean = 0.0, variance = 0.0;
    for (const auto& a : g.malts) {
        const auto i = l.malt(a.item);
        const double share_a = a.mass.value() * a.figures.extract_as_is.value / g.certified_kg;
        if (!i) {
            variance += std::pow(a.mass.value() * a.figures.extract_as_is.sd / g.certified_kg, 2);
            continue;
        }
        mean += share_a * l.mean[*i];
        for (const auto& b : g.malts)
            if (const auto j = l.malt(b.item))
                variance += share_a * b.mass.value() * b.figures.extract_as_is.value / g.certified_kg * l.cov(*i, *j);
    }
    return {mean, variance};
}

// What a mash rest that was not the recipe's moved the attenuation by, as the brews before taught.
struct MashRest {
    double moved = 0.0, sd = 0.0;
};

MashRest mash_rest_of(const ReconcileInput& in, const std::optional<Learned>& learned) {
    const auto meant = in.recipe ? in.recipe->mash_rest : std::nullopt;
    std::optional<Celsius> read;
    for (const Reading& r : in.brew.readings)
        if (r.point == ReadingPoint::mash && !r.set_aside && r.temperature) read = r.temperature;
    if (!meant || !read || !learned) return {};
    const double warmer = read->value() - meant->value();
    return {learned->attenuation_slope_per_c * warmer, learned->attenuation_slope_sd_per_c * std::abs(warmer)};
}

// The brew as its readings and what was known before have it.
struct Happened {
    VectorXd theta;
    MatrixXd covariance;
    BrewModel model;
    BrewFacts facts;
    GlobalTest test;
    wort::LateExtract late;
    MashRest rest;
};

// The unknowns of a brew of one mash, in their order (joint_balance.hpp).
BrewState<double> state_of(const VectorXd& theta) {
    return {theta[0], theta[1], theta[2], theta[3], theta[4], theta[5], theta[6], theta[7], theta[8], theta[9]};
}

Happened happened(const ReconcileInput& in, const Grist& grist, const std::optional<Learned>& learned) {
    Happened h;
    h.model = brew_model(in);
    if (h.model.equations.empty())
        throw Error(ErrorKind::refused,
                    has_malt(in) ? fmt::format("the malt of {} holds no extract", in.brew.code)
                                 : fmt::format("no malt has been deducted for {}", in.brew.code),
                    fmt::format("lotwort brew {} --add LOT=AMOUNT books what was weighed", shell_word(in.brew.code)));
    if (learned)
        for (auto& e : h.model.equations)
            if (e.id == "expect:grist") {
                const auto [mean, variance] = learned_malts(grist, *learned);
                e.observed *= std::exp(mean);
                e.own_sd = std::hypot(0.005 * e.observed, std::sqrt(variance) * e.observed); // weighing, malts
                e.shared.clear();
            }
    const ModelBrew& brew = h.model.brews[h.model.asked];
    if (h.model.brews.size() > 1 || brew.mashes.size() > 1 || in.untied_before + in.untied_after > 0)
        throw Error(ErrorKind::refused,
                    fmt::format("{} has several mashes, or shares its fermenter: its forecast is of one mash alone",
                                in.brew.code),
                    fmt::format("lotwort reconcile {} shows what each gave", shell_word(in.brew.code)));
    const auto& mash = brew.mashes.front();
    h.facts = {mash.grist_moisture_kg, mash.grist_dry_kg, brew.kettle.sugar_kg, brew.kettle.sugar_water_kg,
               mash.wash_stages};
    const UnknownsOf unknowns(h.model);
    const auto problem = problem_of(h.model, unknowns);
    const auto limits = limits_of(h.model, unknowns);
    const auto as_read = solve_within(problem, limits);
    const auto settled = is_settled(as_read, limits)
                             ? SettledBrew{h.model, as_read, {}, true}
                             : settle(h.model, unknowns, as_read, charges_of(h.model, unknowns, problem, as_read));
    if (!settled.is_settled)
        throw Error(
            ErrorKind::refused,
            fmt::format("the readings of {} contradict each other so far that no brew fits them all", in.brew.code),
            fmt::format("lotwort reconcile {} names the suspects", shell_word(in.brew.code)));
    h.theta = settled.limited.solution.theta;
    h.covariance = settled.limited.solution.covariance;
    h.test = test_of(as_read.solution);
    return h;
}

Inputs inputs_at(const VectorXd& theta, const Grist& grist, const Happened& h, double tun_loss_l, double attenuated) {
    const auto s = state_of(theta);
    const auto b = balance(s, h.facts);
    Inputs in;
    in.mass_kg = grist.mass_kg;
    in.moisture_kg = grist.moisture_kg;
    in.certified_kg = grist.certified_kg;
    in.sugar_kg = h.facts.kettle_sugar_kg;
    in.sugar_water_kg = h.facts.kettle_sugar_water_kg;
    in.malt_factor = s.extract_grist_kg / grist.certified_kg;
    in.conversion = s.extract_mash_kg / s.extract_grist_kg;
    in.lauter = s.extract_kettle_kg / (s.extract_mash_kg * b.lauter_expected);
    in.strike_l = s.strike_l;
    in.sparge_l = s.sparge_l;
    in.kettle_liquor_l = s.kettle_liquor_l;
    in.boil_off_l = s.boil_off_l;
    in.absorption_l_per_kg = (s.retained_l - tun_loss_l) / grist.mass_kg;
    in.kettle_loss_l = s.kettle_loss_l;
    in.top_up_l = s.top_up_l;
    in.attenuation = attenuated - h.rest.moved;
    in.rest = h.rest.moved;
    in.late = h.late;
    return in;
}

double sg_per_fraction(double fraction) {
    return wort::specific_gravity_of(Dual<1>::parameter(fraction, 0)).slope[0];
}

// As it was read, at 20 C; none where it was not.
struct Read {
    std::optional<double> gravity_sg, volume_l;
    double gravity_sd = 0.0;
};

Read read_of(const ReconcileInput& in) {
    Read out;
    for (const auto& r : in.brew.readings) {
        if (r.set_aside) continue;
        if (r.point == ReadingPoint::fermenter)
            if (const auto plato = gravity_in_plato(in, r)) {
                out.gravity_sg = wort::specific_gravity_of(plato->value / 100.0);
                out.gravity_sd = plato->sd / 100.0 * sg_per_fraction(plato->value / 100.0);
            }
        if (r.point == ReadingPoint::fermenter && r.volume) {
            const double at = r.volume_at ? r.volume_at->value() : 20.0, w = out.gravity_sg ? 0.11 : 0.0;
            out.volume_l =
                r.volume->value() * wort::sucrose_density_kg_m3(w, at) / wort::sucrose_density_kg_m3(w, 20.0);
        }
    }
    return out;
}

// What the last readings say, by whatever instrument.
std::optional<Estimate> final_of(const ReconcileInput& in, const Estimate& original_sg, Explanation& out) {
    const FinalBeer beer = final_beer(in, original_sg);
    if (!beer.gravity) {
        if (beer.impossible) out.remarks.push_back("no alcohol is worked out: " + beer.impossible->why);
        return std::nullopt;
    }
    if (!beer.gravity->doubt.empty()) out.remarks.push_back(beer.gravity->doubt);
    return beer.gravity->sg;
}

// What fermented: the wort, and with it what was given in the fermenter.
struct Fermented {
    double wort_plato = 0.0, wort_kg = 0.0, original_plato = 0.0; // the last of all of it
    wort::LateExtract late;
    // Of the wort.
    [[nodiscard]] double attenuation(double final_plato) const {
        const double of_all = 1.0 - final_plato / original_plato;
        return late.is_any() ? wort::attenuation_of_wort(of_all, wort_plato, wort_kg, late) : of_all;
    }
};

Fermented fermented_of(const Happened& h, double wort_plato) {
    const auto b = balance(state_of(h.theta), h.facts);
    Fermented beer{wort_plato, 0.0, wort_plato, h.late};
    beer.wort_kg = b.fermenter_l * wort::sucrose_density_kg_m3(wort_plato / 100.0, 20.0) / 1000.0;
    if (h.late.is_any()) beer.original_plato = wort::original_in_all(wort_plato, beer.wort_kg, h.late);
    return beer;
}

// Of the wort's attenuation, by what the final gravity's instrument may be out; the original's error is the balance's.
double attenuation_variance(const Estimate& final_sg, double final_plato, const Fermented& beer) {
    const double sd = 100.0 * final_sg.sd / sg_per_fraction(final_plato / 100.0);
    const double moved = beer.attenuation(final_plato) - beer.attenuation(final_plato + 0.01);
    return sd * sd * moved * moved * 1e4;
}

// What was weighed of hops into the kettle, where they hold wort.
std::vector<PlannedHop> weighed_hops(const ReconcileInput& in) {
    std::vector<PlannedHop> hops;
    for (const auto& a : in.brew.additions)
        if (a.amount.measure == Measure::mass && in.lots.at(a.lot).item.kind == ItemKind::hop)
            hops.push_back({a.lot, a.stage, a.minutes.value_or(Minutes(0.0)), a.amount.grams(), {}, std::nullopt});
    return hops;
}

// The forecast of the day before where no plan has left one: of what was weighed, as a plan of it would have been.
Forecast forecast_of_weighed(const ExplainRequest& request, const Grist& grist, const Happened& h) {
    const Kit book = kit_of(request.brew.brewhouse);
    Recipe recipe = request.brew.recipe.value_or(Recipe{});
    if (!recipe.boil) recipe.boil = request.brew.brew.boil;
    const double target = request.plan && request.plan->volume ? request.plan->volume->value()
                          : request.brew.recipe                ? request.brew.recipe->volume.value()
                                                               : book.volume_l;
    return forecast(recipe, Litres(target), book, grist.malts, weighed_hops(request.brew),
                    Kilograms(h.facts.kettle_sugar_kg), request.learned ? &*request.learned : nullptr, h.late);
}

Inputs inputs_of(const Forecast& f, double tun_loss_l) {
    const ForecastMeans& m = f.means;
    Inputs in;
    in.mass_kg = m.grist_kg;
    in.moisture_kg = m.moisture_kg;
    in.certified_kg = m.extract_kg;
    in.sugar_kg = m.kettle_sugar_kg;
    in.malt_factor = m.malt_factor;
    in.conversion = m.conversion;
    in.lauter = m.lauter;
    in.strike_l = f.strike_liquor_l;
    in.sparge_l = f.sparge_liquor_l;
    in.boil_off_l = m.boil_off_l;
    in.absorption_l_per_kg = (m.retained_l - tun_loss_l) / m.grist_kg;
    in.kettle_loss_l = m.kettle_loss_l;
    in.attenuation = m.attenuation;
    in.late = m.late;
    return in;
}

// First order: how every part, the reading error last, moves with the brew's unknowns, with the attenuation, and with
// what of that is the mash rest's.
std::array<MatrixXd, outcomes> slopes_of(const Inputs& planned, const Grist& grist, const Happened& h,
                                         const Constants& constants, double attenuated,
                                         const std::array<bool, outcomes>& was_read) {
    const auto n = h.theta.size();
    std::array<MatrixXd, outcomes> slopes;
    for (auto& s : slopes) s = MatrixXd::Zero(causes + 1, n + 2);
    for (Index k = 0; k <= n + 1; ++k) {
        const double step = k < n ? std::max(0.1 * std::sqrt(std::max(h.covariance(k, k), 0.0)), 1e-9) : 0.002;
        std::array<std::array<std::vector<double>, outcomes>, 2> moved;
        std::array<Results, 2> whole;
        for (std::size_t side = 0; side < 2; ++side) {
            VectorXd theta = h.theta;
            double att = attenuated;
            const double by = side == 0 ? step : -step;
            if (k <= n) (k < n ? theta[k] : att) += by;
            Inputs at = inputs_at(theta, grist, h, constants.tun_loss_l, att);
            if (k == n + 1) { // of one attenuation more is the rest's and less the yeast's
                at.rest += by;
                at.attenuation -= by;
            }
            moved[side] = parts_of(planned, at, constants);
            whole[side] = forecast_of(at, constants);
        }
        for (std::size_t o = 0; o < outcomes; ++o) {
            for (std::size_t c = 0; c < causes; ++c)
                slopes[o](static_cast<Index>(c), k) = (moved[0][o][c] - moved[1][o][c]) / (2.0 * step);
            if (was_read[o]) slopes[o](causes, k) = -(whole[0][o] - whole[1][o]) / (2.0 * step);
        }
    }
    return slopes;
}

ExplainedPart part_of(std::size_t cause, double value, const VectorXd& slope, const MatrixXd& covariance) {
    const double sd = std::sqrt(std::max(0.0, slope.dot(covariance * slope)));
    ExplainedPart part{cause_words[cause], normal_estimate(value, sd), false};
    part.told = (part.difference.low > 0.0 || part.difference.high < 0.0) && std::abs(value) > 1e-12;
    return part;
}

// What reconcile finds of the same readings comes first: a split of readings that contradict each other is no more to
// be trusted than they are. The scatter they show beyond their own is laid over every part (Birge's ratio).
double trust(const ExplainRequest& request, const Happened& h, Explanation& out) {
    const Reconciliation balanced = reconcile(request.brew);
    out.test = balanced.test;
    out.suspects = balanced.suspects;
    if (balanced.readings_used == 0)
        out.remarks.emplace_back("nothing has been read yet: what the balance has is the forecast again");
    const auto ratio = [](const GlobalTest& test) {
        return test.passed ? 1.0 : std::sqrt(test.statistic / test.degrees_of_freedom);
    };
    out.widened = std::max(ratio(h.test), ratio(balanced.test));
    if (balanced.test.passed && !h.test.passed)
        out.remarks.push_back(fmt::format("the readings agree badly with what the brews before taught (p = {:.2g}): "
                                          "every part is {:.1f} times as wide for it",
                                          *h.test.p_value, out.widened));
    return out.widened;
}

} // namespace

Explanation explain(const ExplainRequest& request) {
    Explanation out;
    out.brew = request.brew.brew.code;
    ReconcileInput in = request.brew;
    if (request.learned) in.brewhouse = taught(in.brewhouse, *request.learned);
    const Grist grist = weighed_grist(in);
    Happened h = happened(in, grist, request.learned);
    h.late = late_extract(in);
    h.rest = mash_rest_of(in, request.learned);
    const auto planned_lots = request.forecast ? std::nullopt : planned_grist(request);
    if (!request.forecast && !planned_lots)
        out.remarks.emplace_back("no plan holds the weights meant: they are taken to be as weighed");
    if (request.forecast && request.plan) out.plan = request.plan->code;
    if (request.learned) out.learned_from_brews = request.learned->brews;
    const double wider = trust(request, h, out);

    const Forecast f =
        request.forecast ? *request.forecast : forecast_of_weighed(request, planned_lots ? *planned_lots : grist, h);
    const Constants constants{kit_of(request.brew.brewhouse).tun_loss_l, h.facts.wash_stages};
    const Inputs planned = inputs_of(f, constants.tun_loss_l);
    const Read read = read_of(in);
    const double original_plato = read.gravity_sg ? wort::plato(SpecificGravity(*read.gravity_sg)).value()
                                                  : 100.0 * balance(state_of(h.theta), h.facts).fermenter_fraction;
    const Fermented beer = fermented_of(h, original_plato);
    const auto ended =
        final_of(in, normal_estimate(wort::specific_gravity_of(beer.original_plato / 100.0), read.gravity_sd), out);
    const double final_plato = ended ? wort::plato(SpecificGravity(ended->value)).value() : beer.original_plato;
    const bool fermented = final_plato < beer.original_plato;
    if (ended && !fermented)
        out.remarks.emplace_back("no alcohol is worked out: the final gravity lies above the original");
    const double attenuated = fermented ? beer.attenuation(final_plato) : planned.attenuation;
    const Inputs really = inputs_at(h.theta, grist, h, constants.tun_loss_l, attenuated);
    const auto parts = parts_of(planned, really, constants);
    const Results forecast_now = forecast_of(planned, constants), balanced = forecast_of(really, constants);
    Results outcome = balanced;
    const std::array<bool, outcomes> was_read{read.gravity_sg.has_value(), read.volume_l.has_value(), fermented,
                                              fermented && read.gravity_sg.has_value()};
    if (was_read[original_gravity]) outcome[original_gravity] = *read.gravity_sg;
    if (was_read[fermenter_volume]) outcome[fermenter_volume] = *read.volume_l;
    if (was_read[final_gravity_read]) outcome[final_gravity_read] = ended->value;
    if (was_read[alcohol]) outcome[alcohol] = wort::alcohol_by_volume_pct(beer.original_plato, final_plato);

    const auto slopes = slopes_of(planned, grist, h, constants, attenuated, was_read);
    const auto n = h.theta.size();
    MatrixXd covariance = MatrixXd::Zero(n + 2, n + 2);
    covariance.topLeftCorner(n, n) = h.covariance;
    covariance(n, n) = fermented ? attenuation_variance(*ended, final_plato, beer) : 0.0;
    covariance(n + 1, n + 1) = h.rest.sd * h.rest.sd;
    covariance *= wider * wider;
    const std::array<Estimate, outcomes> forecasts{f.original_gravity_sg, f.volume_l, f.final_gravity_sg,
                                                   f.alcohol_abv_pct};
    const auto is_asked = [&](std::size_t c) {
        if (c == late_sugar) return planned.late.is_any() || really.late.is_any();
        return c != mash_rest || h.rest.sd > 0.0;
    };
    for (std::size_t o = 0; o < outcomes; ++o) {
        if ((o == alcohol || o == final_gravity_read) && !was_read[o]) continue;
        ExplainedOutcome e;
        e.quantity = outcome_names[o];
        e.forecast = forecasts[o];
        e.forecast.value = forecast_now[o]; // the same to the last digits, so that the parts sum to the difference
        e.outcome = outcome[o];
        e.outcome_was_read = was_read[o];
        e.difference = outcome[o] - forecast_now[o];
        for (std::size_t c = 0; c <= causes; ++c)
            if (is_asked(c))
                e.parts.push_back(part_of(c, c < causes ? parts[o][c] : outcome[o] - balanced[o],
                                          slopes[o].row(static_cast<Index>(c)).transpose(), covariance));
        out.outcomes.push_back(std::move(e));
    }
    return out;
}

} // namespace lotwort
