#include "happened.hpp"
#include "reconcile/answer.hpp"
#include "reconcile/believed.hpp"
#include "reconcile/brew_problem.hpp"
#include "reconcile/equations.hpp"
#include "reconcile/expectations.hpp"
#include "reconcile/settled.hpp"
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/late_extract.hpp>

namespace lotwort::infer_detail {

using Eigen::VectorXd;

namespace {

MashRest mash_rest_of(const ReconcileInput& in, const std::optional<Learned>& learned) {
    const auto meant = in.recipe ? in.recipe->mash_rest : std::nullopt;
    std::optional<Celsius> read;
    for (const Reading& r : in.brew.readings)
        if (r.point == ReadingPoint::mash && !r.set_aside && r.temperature) read = r.temperature;
    if (!meant || !read || !learned) return {};
    const double warmer = read->value() - meant->value();
    return {learned->attenuation_slope_per_c * warmer, learned->attenuation_slope_sd_per_c * std::abs(warmer)};
}

// The unknowns of a brew of one mash, in their order (joint_balance.hpp).
BrewState<double> state_of(const VectorXd& theta) {
    return {theta[0], theta[1], theta[2], theta[3], theta[4], theta[5], theta[6], theta[7], theta[8], theta[9]};
}

} // namespace

BrewBalance<double> Happened::balanced() const {
    return balance(state_of(theta), facts);
}

// The brewhouse's book with what past brews taught in it, so that the balance of this brew expects that.
Brewhouse taught(Brewhouse house, const Learned& l) {
    house = without_told_efficiency(std::move(house));
    const auto sd = [&](std::size_t i) { return std::sqrt(l.cov(i, i) + l.scatter[i] * l.scatter[i]); };
    return expecting(std::move(house), {std::exp(l.mean[0]), std::exp(l.mean[1]), l.mean[2], l.mean[3], l.mean[4]},
                     {std::exp(l.mean[0]) * sd(0), std::exp(l.mean[1]) * sd(1), sd(2), sd(3), sd(4)});
}

Happened happened(const ReconcileInput& in, const std::optional<Learned>& learned) {
    Happened h;
    h.grist = weighed_grist(in);
    h.split = extract_split(h.grist, learned);
    h.late = late_extract(in);
    h.rest = mash_rest_of(in, learned);
    BrewModel model = brew_model(in);
    if (model.equations.empty())
        throw Error(ErrorKind::refused,
                    has_malt(in) ? fmt::format("the malt of {} holds no extract", in.brew.code)
                                 : fmt::format("no malt has been deducted for {}", in.brew.code),
                    "book first what was weighed into its mash");
    if (learned)
        for (auto& e : model.equations)
            if (e.id == "expect:grist") {
                e.observed = h.split.all_kg;
                e.own_sd = h.split.all_sd_kg;
                e.shared.clear();
            }
    model.equations = believed(in, std::move(model.equations));
    const ModelBrew& brew = model.brews[model.asked];
    if (model.brews.size() > 1 || brew.mashes.size() > 1 || in.untied_before + in.untied_after > 0)
        throw Error(ErrorKind::refused,
                    fmt::format("{} has several mashes, or shares its fermenter: its forecast is of one mash alone",
                                in.brew.code),
                    "its reconciliation shows what each gave");
    const auto& mash = brew.mashes.front();
    h.facts = {mash.grist_moisture_kg, mash.grist_dry_kg, brew.kettle.sugar_kg, brew.kettle.sugar_water_kg,
               mash.wash_stages};
    const UnknownsOf unknowns(model);
    const auto problem = problem_of(model, unknowns);
    const auto limits = limits_of(model, unknowns);
    const auto as_read = solve_within(problem, limits);
    const auto settled = is_settled(as_read, limits)
                             ? SettledBrew{model, as_read, {}, true}
                             : settle(model, unknowns, as_read, charges_of(model, unknowns, problem, as_read));
    if (!settled.is_settled)
        throw Error(
            ErrorKind::refused,
            fmt::format("the readings of {} contradict each other so far that no brew fits them all", in.brew.code),
            "its reconciliation names the suspects");
    h.theta = settled.limited.solution.theta;
    h.covariance = settled.limited.solution.covariance;
    h.test = test_of(as_read.solution);
    return h;
}

Inputs inputs_at(const VectorXd& theta, const Happened& h, double tun_loss_l, double attenuated, double stand_ins_kg) {
    const auto s = state_of(theta);
    const auto b = balance(s, h.facts);
    Inputs in;
    const Grist& grist = h.grist;
    in.meant = grist.meant;
    in.stand_in = grist.stand_in;
    in.sugar_kg = h.facts.kettle_sugar_kg;
    in.sugar_water_kg = h.facts.kettle_sugar_water_kg;
    const double beyond = s.extract_grist_kg - h.split.all_kg;
    const double of_stand_ins = h.split.share * beyond + stand_ins_kg;
    if (grist.meant.certified_kg > 0.0)
        in.malt_factor = (h.split.meant_kg + beyond - of_stand_ins) / grist.meant.certified_kg;
    if (grist.stand_in.certified_kg > 0.0)
        in.stand_in_factor = (h.split.stand_in_kg() + of_stand_ins) / grist.stand_in.certified_kg;
    in.conversion = s.extract_mash_kg / s.extract_grist_kg;
    in.lauter = s.extract_kettle_kg / (s.extract_mash_kg * b.lauter_expected);
    in.strike_l = s.strike_l;
    in.sparge_l = s.sparge_l;
    in.kettle_liquor_l = s.kettle_liquor_l;
    in.boil_off_l = s.boil_off_l;
    in.absorption_l_per_kg = (s.retained_l - tun_loss_l) / (grist.meant.mass_kg + grist.stand_in.mass_kg);
    in.kettle_loss_l = s.kettle_loss_l;
    in.top_up_l = s.top_up_l;
    in.attenuation = attenuated - h.rest.moved;
    in.rest = h.rest.moved;
    in.late = h.late;
    return in;
}

} // namespace lotwort::infer_detail
