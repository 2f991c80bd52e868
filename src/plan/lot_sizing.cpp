#include "lot_sizing.hpp"
#include <algorithm>
#include <cmath>
#include <limits>

namespace lotwort::plan {

namespace {
constexpr double never = std::numeric_limits<double>::infinity();

double left_of(const LotItem& item, std::size_t state) {
    const double left = std::min(item.left_base, 0.0) + item.unit * static_cast<double>(state);
    return std::min(std::max(0.0, left), item.left_most);
}

} // namespace

std::vector<LotSizer::Step>& LotSizer::next_steps(std::size_t states) {
    if (events_ == steps_.size()) steps_.emplace_back();
    std::vector<Step>& steps = steps_[events_++];
    steps.resize(states);
    for (std::size_t k = 0; k < states; ++k) steps[k] = {static_cast<int>(k), 0};
    return steps;
}

// A state after a purchase, which may be the last.
void LotSizer::reach(const LotItem& item, const LotChance& chance, double cost, int state, Step step,
                     std::vector<Step>& steps) {
    const auto at = static_cast<std::size_t>(state);
    const double closed = cost + item.tail[chance.use][at] - chance.left_worth * left_of(item, at);
    if (closed < best_.cost) best_ = {closed, events_, step};
    if (cost >= cost_[at]) return;
    cost_[at] = cost;
    steps[at] = step;
}

// Every number of packs of one price: least over a window of states, which slides along (by a queue of candidates).
void LotSizer::buy_within(const LotItem& item, const LotChance& chance, const PackBand& band, double pack, double setup,
                          std::vector<Step>& steps) {
    const int most = std::min(static_cast<int>(cost_.size()) - 1, chance.most_state);
    for (int rest = 0; rest < chance.units && rest <= most; ++rest) {
        window_.clear();
        std::size_t front = 0;
        const auto state = [&](int q) { return static_cast<std::size_t>(rest + q * chance.units); };
        const auto key = [&](int q) { return before_[state(q)] - pack * q; };
        for (int q = band.from; rest + q * chance.units <= most; ++q) {
            const int enters = q - band.from;
            if (before_[state(enters)] < never) {
                while (window_.size() > front && key(window_.back()) >= key(enters)) window_.pop_back();
                window_.push_back(enters);
            }
            while (front < window_.size() && window_[front] < q - band.to) ++front;
            if (front == window_.size()) continue;
            const int at = window_[front];
            reach(item, chance, key(at) + pack * q + setup, static_cast<int>(state(q)),
                  {static_cast<int>(state(at)), q - at}, steps);
        }
    }
}

// More than can serve: bought to come by a lower price, or for the sake of the order.
void LotSizer::buy_beyond(const LotItem& item, const LotChance& chance, const PackBand& band, double pack, double setup,
                          std::vector<Step>& steps) {
    const int last = static_cast<int>(cost_.size()) - 1, top = std::min(last, chance.most_state);
    for (int k = 0; k <= last; ++k) {
        const double before = before_[static_cast<std::size_t>(k)];
        if (!(before < never)) continue;
        const int target = std::max(k, top);
        const int least = std::max(band.from, (target - k) / chance.units + 1);
        if (least > band.to) continue;
        for (const int packs : {least, band.to}) {
            const double beyond = item.unit * (k + packs * chance.units - target);
            const double cost = before + setup + pack * packs - (chance.keeps ? item.beyond_worth * beyond : 0.0);
            reach(item, chance, cost, target, {k, packs}, steps);
        }
    }
}

void LotSizer::buy(const LotItem& item, const LotChance& chance, const ChanceTerms& terms, std::vector<Step>& steps) {
    before_ = cost_;
    for (const PackBand& band : chance.bands) {
        const double pack = band.price * (1.0 - terms.price_off) - band.spared + chance.kept;
        buy_within(item, chance, band, pack, terms.setup, steps);
        buy_beyond(item, chance, band, pack, terms.setup, steps);
    }
}

void LotSizer::use(const LotUse& use, double held, std::vector<Step>& steps) {
    const auto states = static_cast<int>(cost_.size());
    for (int k = 0; k < std::min(use.least, states); ++k) cost_[static_cast<std::size_t>(k)] = never;
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
    events_ = 0;
    best_ = {item.tail[0][0], 0, {}};   // nothing bought
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
        use(item.uses[u], item.unit * item.held_share, thrown ? next_steps(states) : nothing);
    }
    LotChoice choice{best_.cost + item.constant, std::vector<int>(item.chances.size(), 0)};
    if (!(choice.cost < never)) return choice;
    Step step = best_.step;
    for (std::size_t e = best_.event; e-- > 0;) { // events are counted from 1 once they have begun
        if (chance_of[e] != none) choice.packs[chance_of[e]] = step.packs;
        if (e > 0) step = steps_[e - 1][static_cast<std::size_t>(step.from)];
    }
    return choice;
}

void add_tail(LotItem& item) {
    const auto states = static_cast<std::size_t>(item.most_state) + 1;
    item.tail.assign(item.uses.size() + 1, std::vector<double>(states, 0.0));
    int least = 0;
    for (std::size_t u = item.uses.size(); u-- > 0;) {
        const LotUse& use = item.uses[u];
        least = std::max(least, use.least);
        for (std::size_t k = 0; k < states; ++k) {
            // what may spoil may have been thrown away, down to what is needed
            const double held = item.unit * item.held_share * (use.may_spoil ? least : static_cast<double>(k));
            item.tail[u][k] =
                static_cast<int>(k) < least ? never : item.tail[u + 1][k] + use.rate * std::max(0.0, use.base + held);
        }
    }
}

} // namespace lotwort::plan
