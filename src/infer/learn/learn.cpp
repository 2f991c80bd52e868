#include "attenuation.hpp"
#include "bitterness.hpp"
#include "fit.hpp"
#include "offsets.hpp"
#include "turn.hpp"
#include "undecided.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/infer/learn.hpp>
#include <set>

namespace lotwort {

namespace {

using namespace infer_detail;
using stats::Term;

// p of an ordinary lot below which a lot's interval is that of an odd one, hardly shrunk, though it may not be named
// yet; above which it is that of an ordinary one; between them of the mixture. Set by simulation
// (docs/methods/learn.md).
constexpr double odd_interval_below = 0.5, ordinary_interval_above = 0.7;
constexpr double typical_reading_sd = 0.015; // of one brew's conversion by its readings alone

// Everything gathered from the request: what each brew says, and who is who.
struct Gathered {
    std::vector<const ReconcileInput*> brews; // in brew order
    std::vector<BrewEvidence> evidence;       // as brews
    std::map<std::string, UsedLot> lots;
    std::vector<Brewhouse> houses;
    Date latest;
};

// A brew whose malt or readings cannot be reckoned with (a lot whose extract is beyond malt's) teaches nothing; the
// others do.
BrewEvidence evidence_or_fault(const ReconcileInput& brew, Date latest) {
    try {
        return evidence_of(brew, latest);
    } catch (const Error& e) {
        BrewEvidence none;
        none.brew = brew.brew.code;
        none.brewhouse = brew.brewhouse.name;
        none.fault = e.what();
        none.can_be_mended = true;
        return none;
    }
}

Gathered gather(const LearnRequest& request, std::vector<std::string>& remarks) {
    Gathered g;
    for (const auto& brew : request.brews) g.brews.push_back(&brew);
    std::ranges::stable_sort(g.brews, {}, [](const ReconcileInput* b) { return b->brew.date; });
    if (!g.brews.empty()) g.latest = g.brews.back()->brew.date;
    for (const auto* brew : g.brews) {
        g.lots.insert(brew->lots.begin(), brew->lots.end());
        if (std::ranges::find(g.houses, brew->brewhouse.name, &Brewhouse::name) == g.houses.end())
            g.houses.push_back(brew->brewhouse);
    }
    for (const auto& used : request.lots_on_hand) g.lots.emplace(used.lot.code, used);
    if (request.brewhouse && std::ranges::find(g.houses, request.brewhouse->name, &Brewhouse::name) == g.houses.end())
        g.houses.push_back(*request.brewhouse);
    for (const auto* brew : g.brews) {
        g.evidence.push_back(evidence_or_fault(*brew, g.latest));
        if (!g.evidence.back().fault.empty())
            remarks.push_back(fmt::format("{} teaches nothing: {}", brew->brew.code, g.evidence.back().fault));
    }
    const auto by_themselves = std::ranges::count_if(
        request.brews, [](const ReconcileInput& brew) { return brew.untied_before + brew.untied_after > 0; });
    if (by_themselves > 0)
        remarks.push_back(fmt::format("{} brews share their fermenter with more than {} others: each is balanced by "
                                      "itself, without what was read in the fermenter of them all",
                                      by_themselves, most_in_fermenter - 1));
    return g;
}

// Each brew's balance made linear again, all at the figures where their house stands. Where a brew's own readings put
// them, its slopes hang on its own scatter and noise; what little a brew tells of a lasting error is bent by that the
// same way in all of them (docs/methods/learn.md).
void make_linear_again(Gathered& g) {
    constexpr int rounds = 2;
    const LearnModel model = learn_model(g.evidence, g.lots, g.houses, g.latest);
    stats::GaussianSolver solver(model.model);
    const auto& mean =
        solver.fit(std::vector<double>(scale_names, 0.0), stats::GaussianSolver::Want::mean, rounds).mean;
    const auto of = [&](int unknown) { return mean[static_cast<std::size_t>(unknown)]; };
    std::vector<BrewEvidence> again = g.evidence;
    for (const auto& at : model.brews) {
        const auto& constants = model.houses[static_cast<std::size_t>(at.house)].constants;
        const HouseValues near{of(at.conversion), of(at.lauter), of(constants[0]), of(constants[1]), of(constants[2])};
        const auto b = static_cast<std::size_t>(at.evidence - g.evidence.data());
        BrewEvidence fresh = evidence_of(*g.brews[b], g.latest, &near);
        if (fresh.fault.empty()) again[b] = std::move(fresh);
    }
    g.evidence = std::move(again);
}

// For the verbs that take what was learned: they have other things to say, so one sentence is enough.
std::vector<std::string> left_out(const std::vector<BrewEvidence>& evidence) {
    std::vector<const BrewEvidence*> odd;
    for (const auto& e : evidence)
        if (e.can_be_mended) odd.push_back(&e);
    if (odd.empty()) return {};
    const std::string first = odd.front()->brew;
    if (odd.size() == 1)
        return {fmt::format("{} is left out of what past brews taught: {}", first, odd.front()->fault)};
    return {fmt::format("{} and {} more are left out of what past brews taught: {} because {}; lotwort trend has the "
                        "others' reasons",
                        first, odd.size() - 1, first, odd.front()->fault)};
}

// The combinations whose joint distribution the forecast asks for, and what a malt not seen yet adds of its own.
struct Wanted {
    std::vector<std::vector<Term>> combinations;
    std::vector<std::string> malts;
    struct Own {
        std::size_t at;
        double sd;
    };
    std::vector<Own> own;
};

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
    w.own.push_back({w.combinations.size(), prior.lot_sd});
    if (item != model.item_index.end())
        terms.push_back({model.items[static_cast<std::size_t>(item->second)].unknown, 1.0});
    else
        w.own.push_back({w.combinations.size(), prior.item_sd});
    w.combinations.push_back(std::move(terms));
}

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

Learned learned_of(const Wanted& w, const House& house, const FittedModel& fitted) {
    Learned next;
    next.brewhouse = house.name;
    next.brews = house.brews;
    next.malts = w.malts;
    next.mean = fitted.joint_mean;
    next.covariance = fitted.joint_covariance;
    const std::size_t n = next.size();
    for (const auto& own : w.own)
        next.covariance[own.at * n + own.at] += own.sd * own.sd * fitted.scale_squares[lot_scatter];
    // the level's step to the next brew
    if (house.brews > 0) {
        next.covariance[0] += std::pow(conversion_walk_sd, 2) * fitted.scale_squares[level_walk];
        next.covariance[n + 1] += std::pow(lauter_walk_sd, 2) * fitted.scale_squares[level_walk];
    }
    for (std::size_t i = 0; i < house_figures; ++i) next.scatter[i] = house.prior.scatter_sd[i];
    next.scatter[0] *= std::sqrt(fitted.scale_squares[brew_scatter]);
    next.scatter[1] *= std::sqrt(fitted.scale_squares[brew_scatter]);
    for (std::size_t i = 2; i < house_figures; ++i) next.scatter[i] *= std::sqrt(fitted.scale_squares[kit_scatter]);
    return next;
}

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
        out.lots.push_back({at.lot, at.prior.item, at.uses, difference_of(lot), lot.probability_odd, lot.p_value,
                            is_odd(lot), probability_off(lot), lot.own_if_odd.of_exp_less_one()});
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
    const std::size_t n = fitted.joint_mean.size();
    const auto slope = [&](const char* name) {
        const Estimate e = normal_estimate(fitted.joint_mean[at], std::sqrt(fitted.joint_covariance[at * n + at]));
        out.others.emplace_back(name, e);
        ++at;
        return e;
    };
    if (model.rest_slope >= 0) {
        const Estimate e = slope("conversion per degree of mash rest");
        out.next.rest_slope_per_c = e.value;
        out.next.rest_slope_sd_per_c = e.sd;
    }
    if (model.ph_slope >= 0) slope("conversion per unit of mash pH");
    if (model.gap_slope >= 0) slope("conversion per millimetre of mill gap");
}

std::vector<ChangeModel> changes_of(const LearnRequest& request, const Gathered& g, const LearnModel& model) {
    if (request.scales == Scales::as_stated || model.brews.empty()) return {without_steps(stated_scales())};
    if (model.brews.size() <= many_brews) return find_changes(model, without_steps(find_scales(model)));
    const std::vector<BrewEvidence> latest(g.evidence.end() - static_cast<std::ptrdiff_t>(brews_for_scales),
                                           g.evidence.end());
    stats::ScaleGrid grid = find_scales(learn_model(latest, g.lots, g.houses, g.latest));
    grid.points = {{grid.mode, 1.0}};
    return find_changes(model, without_steps(std::move(grid)));
}

// The first of the joint distribution's figures alone.
FittedModel first_of(const FittedModel& fitted, std::size_t count) {
    FittedModel part = fitted;
    const std::size_t all = fitted.joint_mean.size();
    part.joint_mean.resize(count);
    part.joint_covariance.clear();
    for (std::size_t i = 0; i < count; ++i)
        for (std::size_t j = 0; j < count; ++j) part.joint_covariance.push_back(fitted.joint_covariance[i * all + j]);
    return part;
}

} // namespace

Learning learn(const LearnRequest& request) {
    Learning out;
    Gathered g = gather(request, out.remarks);
    if (g.houses.empty()) return out; // no brew yet
    out.brews = static_cast<int>(g.brews.size());
    make_linear_again(g);
    const LearnModel model = learn_model(g.evidence, g.lots, g.houses, g.latest);
    const std::string name = request.brewhouse ? request.brewhouse->name : g.brews.back()->brewhouse.name;
    const House& house = model.houses[static_cast<std::size_t>(model.house_named(name))];
    const Wanted w = wanted(request, model, house, g.latest);
    auto combinations = w.combinations;
    for (const int slope : {model.rest_slope, model.ph_slope, model.gap_slope})
        if (slope >= 0) combinations.push_back({{slope, 1.0}});
    const auto append = [&](const std::vector<std::vector<Term>>& more) {
        const std::size_t at = combinations.size();
        combinations.insert(combinations.end(), more.begin(), more.end());
        return at;
    };
    auto changes = changes_of(request, g, model);
    const auto turns = find_turns(model, changes);
    const std::size_t turned = append(combinations_of(model, turns)), offsets = append(offset_combinations(model));
    const FittedModel fitted = fit_model(model, std::move(changes), combinations);

    out.log_likelihood = fitted.log_likelihood;
    fill_lots(model, fitted, out);
    fill_levels(model, fitted, out);
    fill_scales(model, fitted, house, out);
    out.drift = named_changes(model, fitted, turns, turned,
                              chart_signals(model, likeliest_scales(fitted), chart_scatter(model, fitted)));
    out.power = power_of(model, fitted);
    out.instruments = learned_instruments(model, fitted, offsets);
    out.next = learned_of(w, house, first_of(fitted, w.combinations.size()));
    out.next.remarks = left_out(g.evidence);
    fill_others(w, model, fitted, out);
    std::vector<ReconcileInput> brews;
    for (const auto* brew : g.brews) brews.push_back(*brew);
    learn_after_the_kettle(brews, out);
    learn_bitterness(brews, out);
    out.undecided = find_undecided(out.next, request.lots_on_hand, std::hypot(out.next.scatter[0], typical_reading_sd));
    if (house.brews < 8)
        out.remarks.push_back(
            fmt::format("{} {} of {} taught something: how much brews and lots scatter rests mostly on "
                        "what the brewhouse and the certificates state",
                        house.brews, house.brews == 1 ? "brew" : "brews", name));
    return out;
}

} // namespace lotwort
