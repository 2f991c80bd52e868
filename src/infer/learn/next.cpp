#include "next.hpp"
#include <algorithm>
#include <cmath>
#include <lotwort/core/error.hpp>
#include <tuple>

namespace lotwort::infer_detail {

namespace {

using stats::Term;

void want_malt(Wanted& w, const LearnModel& model, const std::string& name, const LotPrior& prior) {
    if (std::ranges::find(w.malts, name) != w.malts.end()) return;
    const auto lot = model.lot_index.find(name);
    w.malts.push_back(name);
    if (lot != model.lot_index.end()) {
        w.combinations.push_back({{model.lots[static_cast<std::size_t>(lot->second)].unknown, 1.0}});
        return;
    }
    const auto item = model.item_index.find(prior.item);
    std::vector<Term> terms;
    w.own.push_back({w.combinations.size(), prior.lot_sd, true});
    if (item != model.item_index.end())
        terms.push_back({model.items[static_cast<std::size_t>(item->second)].unknown, 1.0});
    else
        w.own.push_back({w.combinations.size(), prior.item_sd, false});
    w.combinations.push_back(std::move(terms));
}

} // namespace

Wanted wanted(const LearnRequest& request, const LearnModel& model, const House& house, Date latest) {
    Wanted w;
    w.combinations = {{{house.conversion, 1.0}},
                      {{house.lauter, 1.0}},
                      {{house.constants[0], 1.0}},
                      {{house.constants[1], 1.0}},
                      {{house.constants[2], 1.0}}};
    const auto want = [&](const Item& item, const std::string& name, auto&& prior) {
        if (item.kind != ItemKind::malt && item.kind != ItemKind::sugar) return;
        try {
            want_malt(w, model, name, prior());
        } catch (const Error&) { // an extract that cannot be on its basis: whoever plans with it is told
            return;
        }
    };
    for (const auto& used : request.lots_on_hand)
        want(used.item, used.lot.code, [&] { return lot_prior(used.item, used.lot, latest); });
    for (const auto& item : request.items) want(item, item.name, [&] { return lot_prior(item); });
    return w;
}

std::vector<std::vector<Term>> combinations_of(const Wanted& w, const LearnModel& model) {
    auto combinations = w.combinations;
    for (const int slope : {model.rest_slope, model.ph_slope, model.gap_slope})
        if (slope >= 0) combinations.push_back({{slope, 1.0}});
    return combinations;
}

std::pair<double, double> slope_at(const FittedModel& fitted, std::size_t at) {
    return {fitted.joint_mean[at], std::sqrt(fitted.joint_covariance[at * fitted.joint_mean.size() + at])};
}

Learned learned_of(const Wanted& w, const LearnModel& model, const House& house, const FittedModel& fitted) {
    Learned next;
    next.brewhouse = house.name;
    next.brews = house.brews;
    next.malts = w.malts;
    const std::size_t n = w.combinations.size(), all = fitted.joint_mean.size();
    for (std::size_t i = 0; i < n; ++i) {
        next.mean.push_back(fitted.joint_mean[i]);
        for (std::size_t j = 0; j < n; ++j) next.covariance.push_back(fitted.joint_covariance[i * all + j]);
    }
    for (const auto& own : w.own)
        next.covariance[own.at * n + own.at] +=
            own.sd * own.sd * (own.is_of_lot ? fitted.scale_squares[lot_scatter] : 1.0);
    // the level's step to the next brew
    if (house.brews > 0) {
        next.covariance[0] += std::pow(conversion_walk_sd, 2) * fitted.scale_squares[level_walk];
        next.covariance[n + 1] += std::pow(lauter_walk_sd, 2) * fitted.scale_squares[level_walk];
    }
    for (std::size_t i = 0; i < house_figures; ++i) next.scatter[i] = house.prior.scatter_sd[i];
    next.scatter[0] *= std::sqrt(fitted.scale_squares[brew_scatter]);
    next.scatter[1] *= std::sqrt(fitted.scale_squares[brew_scatter]);
    for (std::size_t i = 2; i < house_figures; ++i) next.scatter[i] *= std::sqrt(fitted.scale_squares[kit_scatter]);
    if (model.rest_slope >= 0) std::tie(next.rest_slope_per_c, next.rest_slope_sd_per_c) = slope_at(fitted, n);
    return next;
}

} // namespace lotwort::infer_detail
