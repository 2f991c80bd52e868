#include "attenuation.hpp"
#include "bitterness.hpp"
#include "gather.hpp"
#include "next.hpp"
#include "offsets.hpp"
#include "turn.hpp"
#include "undecided.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/learn.hpp>
#include <set>

namespace lotwort {

namespace {

using namespace infer_detail;
using stats::Term;

// Two bounds of p, the chance of an ordinary lot. Below the first a lot's interval is that of an odd one, hardly
// shrunk, though it may not be named yet. Above the second it is that of an ordinary one, and between them that of
// the mixture. Set by simulation (docs/methods/learn.md).
constexpr double odd_interval_below = 0.5, ordinary_interval_above = 0.7;
constexpr double typical_reading_sd = 0.015; // of one brew's conversion by its readings alone

// An ordinary lot would hardly lie so far off, and with its own width it does lie off.
bool is_odd(const FittedLot& lot) {
    if (lot.p_value >= odd_lot_level) return false;
    const Estimate own = lot.own_if_odd.of_exp_less_one();
    return own.low > 0.0 || own.high < 0.0;
}

// The mean of what is known; the interval of what it may be.
Estimate difference_of(const FittedLot& lot) {
    const Mixture& interval = lot.p_value < odd_interval_below        ? lot.if_odd
                              : lot.p_value > ordinary_interval_above ? lot.if_ordinary
                                                                      : lot.difference;
    Estimate e = interval.of_exp_less_one();
    if (is_odd(lot)) return e; // named: shown as the odd lot it is taken for
    e.value = lot.difference.of_exp_less_one().value;
    e.low = std::min(e.low, e.value);
    e.high = std::max(e.high, e.value);
    return e;
}

double probability_off(const FittedLot& lot) {
    const bool is_weak = lot.difference.mean() < 0.0;
    return is_weak ? lot.difference.below(std::log1p(-off_worth_naming))
                   : 1.0 - lot.difference.below(std::log1p(off_worth_naming));
}

void fill_lots(const LearnModel& model, const FittedModel& fitted, Learning& out) {
    for (std::size_t i = 0; i < model.lots.size(); ++i) {
        const auto& at = model.lots[i];
        const auto& lot = fitted.lots[i];
        const auto& first = *model.brews[static_cast<std::size_t>(at.first_brew)].evidence;
        out.lots.push_back({at.lot, at.prior.item, first.brew, at.uses, difference_of(lot), lot.probability_odd,
                            lot.p_value, is_odd(lot), probability_off(lot), lot.own_if_odd.of_exp_less_one()});
    }
    for (std::size_t j = 0; j < model.items.size(); ++j)
        out.items.push_back({model.items[j].item, model.items[j].lots, fitted.items[j].of_exp_less_one()});
}

Estimate times(const Estimate& e, double factor) {
    return {e.value * factor, e.sd * factor, e.low * factor, e.high * factor};
}

void fill_levels(const LearnModel& model, const FittedModel& fitted, Learning& out) {
    for (std::size_t b = 0; b < model.brews.size(); ++b) {
        const auto& e = *model.brews[b].evidence;
        const auto& level = fitted.levels[b];
        out.levels.push_back({e.brew, e.brewhouse, e.date, level.conversion.of_exp(), level.lauter.of_exp(),
                              times(level.both.of_exp(), e.lauter_expected * e.transfer), level.own_conversion.of_exp(),
                              level.own_lauter.of_exp()});
    }
}

// Each scale over all models, in per-one of what it multiplies; of brews both efficiencies together.
void fill_scales(const LearnModel& model, const FittedModel& fitted, const House& house, Learning& out) {
    double lot_sd = 0.0;
    for (const auto& lot : model.lots) lot_sd += lot.prior.lot_sd / static_cast<double>(model.lots.size());
    const double base[scale_names] = {std::hypot(house.prior.scatter_sd[0], house.prior.scatter_sd[1]),
                                      std::hypot(conversion_walk_sd, lauter_walk_sd), lot_sd,
                                      house.prior.scatter_sd[2] / std::max(house.prior.mean[2], 1e-9)};
    const char* const words[scale_names] = {"a brew about the house's level", "the level's step from brew to brew",
                                            "lots about their malts", "boil-off of a brew (and losses alike)"};
    constexpr double z = 1.6448536269514722;
    for (std::size_t s = 0; s < scale_names; ++s) {
        Mixture logs;
        for (const auto& m : fitted.changes) logs.add(m.weight, m.grid.mode[s], std::pow(m.grid.sd[s], 2));
        const Estimate e = logs.estimate();
        out.scales.push_back({words[s], base[s], base[s] * std::exp(-z * scale_widths[s]),
                              base[s] * std::exp(z * scale_widths[s]), base[s] * std::exp(e.value),
                              base[s] * std::exp(e.low), base[s] * std::exp(e.high)});
    }
}

void fill_others(const Wanted& w, const LearnModel& model, const FittedModel& fitted, Learning& out) {
    const char* const names[3] = {"boil-off, L/h", "absorption, L/kg", "kettle loss without hops, L"};
    for (std::size_t i = 0; i < 3; ++i) {
        const double sd = std::sqrt(out.next.cov(2 + i, 2 + i));
        out.others.emplace_back(names[i], normal_estimate(out.next.mean[2 + i], sd));
    }
    std::size_t at = w.combinations.size();
    const auto slope = [&](const char* name) {
        const auto [value, sd] = slope_at(fitted, at++);
        out.others.emplace_back(name, normal_estimate(value, sd));
    };
    if (model.rest_slope >= 0) slope("conversion per degree of mash rest");
    if (model.ph_slope >= 0) slope("conversion per unit of mash pH");
    if (model.gap_slope >= 0) slope("conversion per millimetre of mill gap");
}

std::vector<ChangeModel> changes_of(const LearnRequest& request, const LearnModel& model) {
    if (request.scales == Scales::as_stated || model.brews.empty()) return {without_steps(stated_scales())};
    return find_changes(model, without_steps(find_scales(model)));
}

} // namespace

Learning learn(const LearnRequest& request) {
    Learning out;
    const auto ordered = latest_of(in_order(request.brews));
    const std::size_t older = request.older + request.brews.size() - ordered.size();
    Gathered g = gather(ordered, ordered.empty() ? Date{} : ordered.back()->brew.date);
    for (const auto& used : request.lots_on_hand) g.lots.emplace(used.lot.code, used);
    if (request.brewhouse) g.add_house(*request.brewhouse);
    if (g.houses.empty()) return out; // no brew yet
    out.remarks = remarks_of(g);
    if (older > 0)
        out.remarks.push_back(fmt::format(
            "learned from the latest {} brews; {} older ones tell nothing more of the next", ordered.size(), older));
    out.brews = static_cast<int>(g.brews.size());
    make_linear_again(g);
    const LearnModel model = learn_model(g.evidence, g.lots, g.houses, g.latest);
    const std::string name = request.brewhouse ? request.brewhouse->name : g.brews.back()->brewhouse.name;
    const House& house = model.houses[static_cast<std::size_t>(model.house_named(name))];
    const Wanted w = wanted(request, model, house, g.latest);
    auto combinations = combinations_of(w, model);
    const std::size_t offsets = combinations.size();
    std::ranges::move(offset_combinations(model), std::back_inserter(combinations));
    auto changes = changes_of(request, model);
    const auto turns = find_turns(model, changes);
    const FittedModel fitted = fit_model(model, std::move(changes), combinations, combinations_of(model, turns));

    out.log_likelihood = fitted.log_likelihood;
    fill_lots(model, fitted, out);
    fill_levels(model, fitted, out);
    fill_scales(model, fitted, house, out);
    out.drift = named_changes(model, fitted, turns,
                              chart_signals(model, likeliest_scales(fitted), chart_scatter(model, fitted)));
    out.power = power_of(model, fitted);
    out.instruments = learned_instruments(model, fitted, offsets);
    out.next = learned_of(w, model, house, fitted);
    out.next.remarks = left_out(g.evidence);
    fill_others(w, model, fitted, out);
    learn_after_the_kettle(g.brews, request.packaged, out);
    learn_bitterness(g.brews, out);
    out.undecided = find_undecided(out.next, request.lots_on_hand, std::hypot(out.next.scatter[0], typical_reading_sd));
    if (house.brews < 8)
        out.remarks.push_back(
            fmt::format("{} {} of {} taught something: how much brews and lots scatter rests mostly on "
                        "what the brewhouse and the certificates state",
                        house.brews, house.brews == 1 ? "brew" : "brews", name));
    return out;
}

} // namespace lotwort
