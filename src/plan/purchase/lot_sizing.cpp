#include "lot_sizing.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <span>

namespace lotwort::plan {

namespace {
constexpr double never = std::numeric_limits<double>::infinity();
}

std::vector<LotSizer::Step>& LotSizer::next_steps(std::size_t states) {
    if (events_ == steps_.size()) steps_.emplace_back();
    std::vector<Step>& steps = steps_[events_++];
    steps.resize(states);
    for (std::size_t k = 0; k < states; ++k) steps[k] = {static_cast<int>(k), 0};
    return steps;
}

void LotSizer::reach(double cost, std::size_t state, const Step& step, std::vector<Step>& steps) {
    if (cost >= cost_[state]) return;
    cost_[state] = cost;
    steps[state] = step;
}

// Every number of packs of one price: least over a window of states, which slides along (by a queue of candidates).
void LotSizer::buy_within(const LotChance& chance, const PackBand& band, double pack, double setup,
                          std::vector<Step>& steps) {
    const int most = std::min(static_cast<int>(cost_.size()) - 1, chance.most_state);
    const int up_to = std::min(band.to, chance.most_gain / chance.units);
    if (band.from > up_to) return;
    for (int rest = 0; rest < chance.units && rest <= most; ++rest) {
        window_.clear();
        std::size_t front = 0;
        const auto state = [&](int q) { return static_cast<std::size_t>(rest + q * chance.units); };
        const auto left = [&](int q) {
            return chance.left_worth * left_[state(q)] + chance.left_more * beyond_[state(q)];
        };
        const auto key = [&](int q) { return before_[state(q)] - pack * q + left(q); };
        const int lowest = std::max(0, (low_ - rest + chance.units - 1) / chance.units); // there is none before
        for (int q = band.from + lowest; rest + q * chance.units <= most; ++q) {
            const int enters = q - band.from;
            if (before_[state(enters)] < never) {
                while (window_.size() > front && key(window_.back()) >= key(enters)) window_.pop_back();
                window_.push_back(enters);
            }
            while (front < window_.size() && window_[front] < q - up_to) ++front;
            if (front == window_.size()) continue;
            const int at = window_[front];
            const double cost = key(at) + pack * q + setup - left(q);
            reach(cost, state(q), {static_cast<int>(state(at)), q - at}, steps);
        }
    }
}

// More than can serve: bought to come by a lower price, or for the sake of the order.
void LotSizer::buy_beyond(const LotItem& item, const LotChance& chance, const PackBand& band, double pack, double setup,
                          std::vector<Step>& steps) {
    const int last = static_cast<int>(cost_.size()) - 1, top = std::min(last, chance.most_state);
    const bool may_pay = chance.keeps && pack < chance.units * item.unit * (chance.left_worth + chance.left_more);
    for (int k = low_; k <= last; ++k) {
        const double before = before_[static_cast<std::size_t>(k)];
        if (!(before < never)) continue;
        const int target = std::max(k, chance.most_gain < top - k ? k + chance.most_gain : top);
        const int least = std::max(band.from, (target - k) / chance.units + 1);
        if (least > band.to) continue;
        const auto at = static_cast<std::size_t>(k), to = static_cast<std::size_t>(target);
        // and as many as count when they are left, or one more, or all, where that may pay
        const double counting = std::min<double>(
            band.to, (target - k + std::max(0.0, item.left_most - left_[to]) / item.unit) / chance.units);
        const int counted_last = std::max(least, static_cast<int>(counting));
        const int tried[] = {least, counted_last, std::min(counted_last + 1, band.to), band.to};
        for (const int packs : std::span(tried, may_pay ? 4U : 1U)) {
            const double unused = chance.keeps ? item.unit * (k + packs * chance.units - target) : 0.0;
            const double counted = std::min(left_[to] - left_[at] + unused, item.left_most - left_[at]);
            const double left = chance.left_worth * counted + chance.left_more * (beyond_[to] - beyond_[at] + unused);
            reach(before + setup + pack * packs - left, to, {k, packs}, steps);
        }
    }
}

void LotSizer::buy(const LotItem& item, const LotChance& chance, const ChanceTerms& terms, std::vector<Step>& steps) {
    before_ = cost_;
    for (const PackBand& band : chance.bands) {
        const double pack = band.price * (1.0 - terms.price_off) - band.spared + chance.kept;
        buy_within(chance, band, pack, terms.setup, steps);
        buy_beyond(item, chance, band, pack, terms.setup, steps);
    }
}

void LotSizer::use(const LotUse& use, double held, std::vector<Step>& steps) {
    const auto states = static_cast<int>(cost_.size());
    for (int k = low_; k < std::min(use.least, states); ++k) cost_[static_cast<std::size_t>(k)] = never;
    low_ = std::max(low_, use.least);
    if (use.may_spoil)
        for (std::size_t k = cost_.size() - 1; k-- > static_cast<std::size_t>(use.least);)
            if (cost_[k + 1] < cost_[k]) {
                cost_[k] = cost_[k + 1];
                steps[k] = steps[k + 1];
            }
    if (use.rate == 0.0) return;
    for (int k = use.least; k < states; ++k)
        cost_[static_cast<std::size_t>(k)] += use.rate * std::max(0.0, use.base + held * k);
}

LotChoice LotSizer::solve(const LotItem& item, const std::vector<ChanceTerms>& terms) {
    const auto states = static_cast<std::size_t>(item.most_state) + 1;
    cost_.assign(states, never);
    cost_[0] = 0.0;
    low_ = 0;
    events_ = 0;
    left_.resize(states);
    beyond_.resize(states);
    for (std::size_t k = 0; k < states; ++k) {
        const double left = std::min(item.left_base, 0.0) + item.unit * static_cast<double>(k);
        beyond_[k] = std::max(0.0, left);
        left_[k] = std::min(beyond_[k], item.left_most);
    }
    std::vector<std::size_t> chance_of; // by event; none: a use
    const std::size_t none = item.chances.size();
    std::vector<Step> nothing;
    std::size_t c = 0;
    for (std::size_t u = 0; u <= item.uses.size(); ++u) {
        for (; c < item.chances.size() && item.chances[c].use == u; ++c)
            if (terms[c].open) {
                chance_of.push_back(c);
                buy(item, item.chances[c], terms[c], next_steps(states));
            }
        if (u == item.uses.size()) break;
        const bool thrown = item.uses[u].may_spoil;
        if (thrown) chance_of.push_back(none);
        use(item.uses[u], item.unit * item.uses[u].held, thrown ? next_steps(states) : nothing);
    }
    const auto least = std::ranges::min_element(cost_);
    LotChoice choice{*least + item.constant, std::vector<int>(item.chances.size(), 0)};
    if (!(choice.cost < never)) return choice;
    auto at = static_cast<std::size_t>(least - cost_.begin());
    for (std::size_t e = events_; e-- > 0;) {
        const Step& step = steps_[e][at];
        if (chance_of[e] != none) choice.packs[chance_of[e]] = step.packs;
        at = static_cast<std::size_t>(step.from);
    }
    return choice;
}

} // namespace lotwort::plan
