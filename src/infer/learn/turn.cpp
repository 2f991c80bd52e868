#include "turn.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>

namespace lotwort::infer_detail {

namespace {

using stats::Term;

constexpr int near = 2;                // brews within which a change may have begun
constexpr int most_in_window = 8;      // brews of either side
constexpr double worth_a_look = 0.05;  // probability of a step from which a place is looked at
constexpr double main_share = 0.3;     // of the grists, from which a lot can be what changed
constexpr double worth_telling = 0.05; // probability from which an explanation is told
constexpr double least_effect = 0.005; // in ln
// A change of which a part of the probability is a step's must be so sure to be of that size; one that lots alone
// explain, whose like certificates do not foretell.
constexpr double least_step = 0.15, least_told = 0.01, surely = 0.95, least_of_lot = 0.015, sure_of_lot = 0.75;
constexpr double gap_step_mm = 0.05, rest_step_c = 0.7, ph_step = 0.08; // that a brewer would call a change

const char* const quantity_names[2] = {"conversion", "lauter"};

// The brews of a house in their order.
std::vector<std::size_t> brews_of(const LearnModel& model, int house) {
    std::vector<std::size_t> out;
    for (std::size_t b = 0; b < model.brews.size(); ++b)
        if (model.brews[b].house == house) out.push_back(b);
    return out;
}

double step_probability(const LearnModel& model, const std::vector<ChangeModel>& changes, std::size_t brew) {
    double sum = 0.0;
    for (const auto& m : changes)
        if (has_step_near(model, m, brew, near)) sum += m.weight;
    return sum;
}

double mean_of(const LearnModel& model, const std::vector<std::size_t>& brews, auto&& value) {
    double sum = 0.0;
    int count = 0;
    for (const std::size_t b : brews)
        if (const std::optional<double> x = value(*model.brews[b].evidence)) sum += *x, ++count;
    return count > 0 ? sum / count : std::nan("");
}

double share_of(const BrewEvidence& e, const std::string& lot) {
    double sum = 0.0;
    for (const auto& share : e.shares)
        if (share.lot == lot) sum += share.share;
    return sum;
}

// Lots that came into the grists or went out of them.
void add_lots(const LearnModel& model, Turn& turn) {
    for (const auto& lot : model.lots) {
        const auto share = [&](const BrewEvidence& e) { return std::optional(share_of(e, lot.lot)); };
        const double more = mean_of(model, turn.after, share) - mean_of(model, turn.before, share);
        if (std::abs(more) >= main_share)
            turn.effects.push_back(
                {fmt::format("lot {}, {}", lot.lot, more > 0.0 ? "new then" : "used up then"), {{lot.unknown, more}}});
    }
}

// Whether a lot that makes a good part of the grists from there on was first used at that brew.
bool is_new_lot(const LearnModel& model, const Turn& turn) {
    return std::ranges::any_of(model.lots, [&](const auto& lot) {
        const auto share = [&](const BrewEvidence& e) { return std::optional(share_of(e, lot.lot)); };
        return static_cast<std::size_t>(lot.first_brew) == turn.brew && mean_of(model, turn.after, share) >= main_share;
    });
}

void add_covariates(const LearnModel& model, Turn& turn) {
    const auto add = [&](const char* what, const char* unit, int decimals, int slope, double least, auto&& value) {
        if (slope < 0) return;
        const double before = mean_of(model, turn.before, value), after = mean_of(model, turn.after, value);
        if (!(std::abs(after - before) >= least)) return; // or not read on both sides
        turn.effects.push_back({fmt::format("{} (read {} {} before, {} since)", what, fixed(before, decimals), unit,
                                            fixed(after, decimals)),
                                {{slope, after - before}},
                                true});
    };
    add("the mill's gap", "mm", 2, model.gap_slope, gap_step_mm, [](const BrewEvidence& e) { return e.mill_gap_mm; });
    add("the mash's temperature", "°C", 1, model.rest_slope, rest_step_c,
        [](const BrewEvidence& e) { return e.mash_c; });
    add("the mash's pH", "pH", 2, model.ph_slope, ph_step, [](const BrewEvidence& e) { return e.mash_ph; });
}

Turn turn_at(const LearnModel& model, std::size_t brew) {
    Turn turn;
    turn.brew = brew;
    const auto& at = model.brews[brew];
    for (const std::size_t b : brews_of(model, at.house)) {
        const int away = model.brews[b].place - at.place;
        if (away < 0 && away >= -most_in_window) turn.before.push_back(b);
        if (away >= 0 && away < most_in_window) turn.after.push_back(b);
    }
    add_lots(model, turn);
    add_covariates(model, turn);
    return turn;
}

std::vector<Term> level_change(const LearnModel& model, const Turn& turn, bool conversion, bool lauter) {
    std::vector<Term> terms;
    for (const auto* side : {&turn.before, &turn.after})
        for (const std::size_t b : *side) {
            const double each = (side == &turn.after ? 1.0 : -1.0) / static_cast<double>(side->size());
            if (conversion) terms.push_back({model.brews[b].conversion, each});
            if (lauter) terms.push_back({model.brews[b].lauter, each});
        }
    return terms;
}

// Where a turn's combinations stand: 0 conversion, 1 lautering, 2 both, effects from 3, then all together, then all but
// what was read.
std::size_t combinations(const Turn& turn) {
    return 5 + turn.effects.size();
}

// Asked of the brewer where nothing that was read explains it; of what was read nothing is asked.
std::vector<std::string> hints_of(const LearnModel& model, const Turn& turn, int quantity) {
    if (quantity == 1)
        return {"the run-off: faster than before?",
                "the grain bed: channels, cracks, finer crush, a stuck bed cut through?",
                "the sparge: its volume, its spread over the bed, its temperature"};
    const auto is_read = [&](auto member) {
        return std::ranges::any_of(turn.after,
                                   [&](std::size_t b) { return (model.brews[b].evidence->*member).has_value(); });
    };
    std::vector<std::string> hints;
    hints.emplace_back(is_read(&BrewEvidence::mill_gap_mm) ? "the crush: the malt's moisture, the rollers' wear?"
                                                           : "the crush: has the mill's gap moved, or the malt's "
                                                             "moisture?");
    const bool rest = is_read(&BrewEvidence::mash_c), ph = is_read(&BrewEvidence::mash_ph);
    if (!rest || !ph)
        hints.push_back(fmt::format("the mash: {}{}{} as meant?", rest ? "" : "rest temperature",
                                    rest || ph ? "" : " and ", ph ? "" : "pH"));
    hints.emplace_back("the liquor: its source and treatment, and the malts' certificates");
    return hints;
}

// One turn with what the models make of it.
class Weighed {
public:
    Weighed(const LearnModel& model, const FittedModel& fitted, const Turn& turn, std::size_t first)
        : model_(model), fitted_(fitted), turn_(turn), first_(first) {
        for (const auto& m : fitted.changes) {
            if (!has_step_near(model, m, turn.brew, near)) continue;
            step_ += m.weight;
            double of[2] = {};
            for (const Step& s : m.steps)
                if (std::abs(model.brews[s.brew].place - model.brews[turn.brew].place) <= near) of[s.quantity] = 1.0;
            for (int q = 0; q < 2; ++q) by_quantity_[q] += m.weight * of[q] / (of[0] + of[1]);
        }
        const Mixture all = mixture(2);
        const Mixture together = mixture(combinations(turn) - 2);
        const double change = together.mean();
        unread_ = mixture(combinations(turn) - 1);
        for (std::size_t i = 0; i < turn.effects.size(); ++i) effects_.push_back(without_step(3 + i, change));
        double sum = 0.0;
        for (const double e : effects_) sum += e;
        if (sum > 1.0 - step_)
            for (double& e : effects_) e *= (1.0 - step_) / sum;
        is_open_ = std::ranges::any_of(effects_, [](double e) { return e >= worth_telling; });
        size_ = (is_open_ ? together : all).of_exp_less_one();
    }
    [[nodiscard]] double step() const { return step_; }
    [[nodiscard]] double probability() const {
        double sum = step_;
        for (const double e : effects_) sum += e;
        return sum;
    }
    // That lots and level together changed by that much at least, to the side of the mean, beside what was read.
    [[nodiscard]] double real(double least) const {
        return unread_.mean() < 0.0 ? unread_.below(-least) : 1.0 - unread_.below(least);
    }
    [[nodiscard]] Drift drift() const {
        Drift d;
        const int quantity = by_quantity_[0] >= by_quantity_[1] ? 0 : 1;
        const auto& at = model_.brews[turn_.brew];
        d.quantity = quantity_names[quantity];
        d.brewhouse = at.evidence->brewhouse;
        d.from_brew = at.evidence->brew;
        d.change = size_.value;
        d.sd = size_.sd;
        d.low = size_.low;
        d.high = size_.high;
        d.probability = probability();
        for (int q = 0; q < 2; ++q)
            if (by_quantity_[q] >= worth_telling)
                d.causes.push_back({q == 0 ? "the brewhouse's conversion" : "its lautering", by_quantity_[q]});
        for (std::size_t i = 0; i < effects_.size(); ++i)
            if (effects_[i] >= worth_telling) d.causes.push_back({turn_.effects[i].what, effects_[i]});
        std::ranges::stable_sort(d.causes, std::greater<>{}, &PossibleCause::probability);
        d.hints = hints_of(model_, turn_, quantity);
        return d;
    }

private:
    [[nodiscard]] Mixture mixture(std::size_t combination) const {
        Mixture all;
        for (const auto& part : fitted_.in_model[first_ + combination]) all.add(part);
        return all;
    }
    // That without a step the effect makes up half of the change at least.
    [[nodiscard]] double without_step(std::size_t combination, double change) const {
        const double least = std::max(0.5 * std::abs(change), least_effect);
        double sum = 0.0;
        for (std::size_t m = 0; m < fitted_.changes.size(); ++m) {
            if (has_step_near(model_, fitted_.changes[m], turn_.brew, near)) continue;
            const Mixture& effect = fitted_.in_model[first_ + combination][m];
            sum += effect.weight() * (change < 0.0 ? effect.below(-least) : 1.0 - effect.below(least));
        }
        return sum;
    }

    const LearnModel& model_;
    const FittedModel& fitted_;
    const Turn& turn_;
    std::size_t first_;
    double step_ = 0.0, by_quantity_[2] = {};
    std::vector<double> effects_;
    Mixture unread_;
    bool is_open_ = false; // between the house and something else that began there
    Estimate size_;
};

} // namespace

std::vector<Turn> find_turns(const LearnModel& model, const std::vector<ChangeModel>& changes) {
    std::vector<Turn> turns;
    std::vector<char> taken(model.brews.size(), 0);
    while (true) {
        // the brew with most of the steps at or near it; of those the one with most at itself
        std::size_t best = model.brews.size();
        double most = worth_a_look, most_there = 0.0;
        for (std::size_t b = 0; b < model.brews.size(); ++b) {
            if (taken[b]) continue;
            double there = 0.0;
            for (const auto& m : changes)
                if (has_step_near(model, m, b, 0)) there += m.weight;
            const double around = step_probability(model, changes, b);
            if (there == 0.0 || around < worth_a_look) continue;
            if (around > most + 1e-9 || (around > most - 1e-9 && there > most_there))
                best = b, most = around, most_there = there;
        }
        if (best == model.brews.size()) break;
        turns.push_back(turn_at(model, best));
        for (std::size_t b = 0; b < model.brews.size(); ++b) {
            const auto &a = model.brews[b], &at = model.brews[best];
            if (a.house == at.house && std::abs(a.place - at.place) <= 2 * near) taken[b] = 1;
        }
    }
    for (std::size_t b = 0; b < model.brews.size(); ++b) {
        const auto& at = model.brews[b];
        const int brews = model.houses[static_cast<std::size_t>(at.house)].brews;
        if (taken[b] || at.place < least_brews_before || brews - at.place < least_brews_after) continue;
        Turn turn = turn_at(model, b);
        if (is_new_lot(model, turn)) turns.push_back(std::move(turn));
    }
    return turns;
}

std::vector<std::vector<Term>> combinations_of(const LearnModel& model, const std::vector<Turn>& turns) {
    std::vector<std::vector<Term>> out;
    for (const auto& turn : turns) {
        out.push_back(level_change(model, turn, true, false));
        out.push_back(level_change(model, turn, false, true));
        auto all = level_change(model, turn, true, true), unread = all;
        out.push_back(all);
        for (const auto& effect : turn.effects) {
            out.push_back(effect.terms);
            all.insert(all.end(), effect.terms.begin(), effect.terms.end());
            if (!effect.is_read) unread.insert(unread.end(), effect.terms.begin(), effect.terms.end());
        }
        out.push_back(std::move(all));
        out.push_back(std::move(unread));
    }
    return out;
}

std::vector<Drift> named_changes(const LearnModel& model, const FittedModel& fitted, const std::vector<Turn>& turns,
                                 const std::vector<std::vector<Signal>>& signals) {
    std::size_t first = 0;
    std::vector<std::pair<std::size_t, Drift>> found;
    for (const auto& turn : turns) {
        const Weighed weighed(model, fitted, turn, first);
        first += combinations(turn);
        const bool is_house = weighed.step() >= named_from;
        const bool is_open =
            weighed.step() >= least_step && weighed.probability() >= named_from && weighed.real(least_told) >= surely;
        const bool is_lot = !is_house && !is_open && weighed.real(least_of_lot) >= sure_of_lot;
        if (!is_house && !is_open && !is_lot) continue;
        Drift d = weighed.drift();
        d.is_of_malt = is_lot;
        const auto& at = model.brews[turn.brew];
        const auto brews = brews_of(model, at.house);
        d.signalled_at = model.brews[brews.back()].evidence->brew;
        for (const auto& signal : signals[static_cast<std::size_t>(at.house)]) {
            if (signal.place < at.place) continue;
            d.signalled_at = model.brews[brews[static_cast<std::size_t>(signal.place)]].evidence->brew;
            for (const auto& [name, is] :
                 {std::pair("step scan", signal.scan), {"ewma", signal.ewma}, {"cusum", signal.cusum}})
                if (is) d.by += (d.by.empty() ? "" : ", ") + std::string(name);
            break;
        }
        found.emplace_back(turn.brew, std::move(d));
    }
    std::ranges::stable_sort(found, {}, [](const auto& named) { return named.first; });
    std::vector<Drift> out;
    for (auto& named : found) out.push_back(std::move(named.second));
    return out;
}

std::vector<Power> power_of(const LearnModel& model, const FittedModel& fitted) {
    constexpr double four_in_five = 0.8416; // normal quantile
    // ln of the likelihood ratio that makes a step at one of two neighbouring brews as likely as named_from asks
    const double needed = std::log(named_from / (1.0 - named_from)) - std::log(2.0 * (step_chance[0] + step_chance[1]));
    stats::GaussianSolver solver(model.model);
    const auto& likeliest = fitted.changes.front();
    (void)solver.fit(likeliest.grid.mode, stats::GaussianSolver::Want::variances, 4,
                     widened_by(model, likeliest.steps));
    std::vector<Power> out;
    for (std::size_t h = 0; h < model.houses.size(); ++h) {
        const auto brews = brews_of(model, static_cast<int>(h));
        const auto n = static_cast<int>(brews.size());
        if (n < 2 * least_brews_after) continue;
        Power p;
        p.brewhouse = model.houses[h].name;
        p.began_ago = std::min(n / 2, 7);
        const auto& at = model.brews[brews[static_cast<std::size_t>(n - p.began_ago)]];
        const auto least = [&](double variance) {
            const double wide = variance + step_size_sd * step_size_sd;
            const double square = 2.0 * (needed + 0.5 * std::log(wide / variance)) / (1.0 / variance - 1.0 / wide);
            return 1.0 - std::exp(-std::sqrt(square) - four_in_five * std::sqrt(variance));
        };
        double variance = solver.foreseen(at.steps[0]).variance;
        if (has_step_near(model, likeliest, brews[static_cast<std::size_t>(n - p.began_ago)], 0))
            variance -= step_size_sd * step_size_sd; // one is there already
        const double before = 1.0 / (n - p.began_ago);
        p.least = least(variance);
        p.with_four_more = least(variance * (1.0 / (p.began_ago + 4) + before) / (1.0 / p.began_ago + before));
        out.push_back(std::move(p));
    }
    return out;
}

} // namespace lotwort::infer_detail
