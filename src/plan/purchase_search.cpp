#include "purchase_search.hpp"
#include <algorithm>
#include <cmath>
#include <random>

namespace lotwort::plan {

namespace {
constexpr double of_lacking = 0.25; // of what lacks to a minimum order: what filling it up may cost
constexpr std::size_t furthest = 4; // orders that one is moved by at most
} // namespace

OrderSearch::OrderSearch(const JointLots& lots) : lots_(lots), open_(lots.orders.size(), true) {
    for (const LotItem& item : lots.items) terms_.emplace_back(item.chances.size());
    choices_.resize(lots.items.size());
    std::map<std::string, std::vector<std::size_t>> of_supplier;
    for (std::size_t o = 0; o < lots.orders.size(); ++o) of_supplier[lots.orders[o].supplier].push_back(o);
    for (auto& [supplier, orders] : of_supplier) of_supplier_.push_back(std::move(orders));
    set(open_);
}

double OrderSearch::goods_of(std::size_t order) const {
    double goods = 0.0;
    for (const LotRef& line : lots_.orders[order].lines) {
        const int packs = choices_[line.item].packs[line.chance];
        if (packs == 0) continue;
        for (const PackBand& band : lots_.items[line.item].chances[line.chance].bands)
            if (packs >= band.from && packs <= band.to) goods += packs * band.price;
    }
    return goods;
}

double OrderSearch::together() const {
    double sum = 0.0;
    for (const LotChoice& choice : choices_) sum += choice.cost;
    for (std::size_t o = 0; o < open_.size(); ++o) {
        if (!open_[o]) continue;
        const LotOrder& order = lots_.orders[o];
        const double goods = goods_of(o);
        if (goods <= 0.0) continue;
        const double lacking = std::max(0.0, order.minimum - goods);
        double delivery = order.delivery;
        if (order.free_from > 0.0) delivery = std::min(delivery, of_lacking * std::max(0.0, order.free_from - goods));
        sum += delivery + of_lacking * lacking;
    }
    return sum;
}

void OrderSearch::evaluate(const std::vector<std::size_t>& items) {
    for (const std::size_t i : items) choices_[i] = sizer_.solve(lots_.items[i], terms_[i]);
    cost_ = together();
}

void OrderSearch::set(const std::vector<bool>& open) {
    open_ = open;
    std::vector<std::size_t> all;
    for (std::size_t i = 0; i < lots_.items.size(); ++i) all.push_back(i);
    for (std::size_t o = 0; o < open.size(); ++o)
        for (const LotRef& line : lots_.orders[o].lines) terms_[line.item][line.chance].open = open[o];
    evaluate(all);
}

// These orders the other way round: kept if that is better.
bool OrderSearch::try_change(const std::vector<std::size_t>& orders) {
    std::set<std::size_t> items; // that may choose anew
    const auto turn = [&] {
        for (const std::size_t o : orders) {
            open_[o] = !open_[o];
            for (const LotRef& line : lots_.orders[o].lines) {
                terms_[line.item][line.chance].open = open_[o];
                // who bought nothing there misses nothing
                if (open_[o] || choices_[line.item].packs[line.chance] > 0) items.insert(line.item);
            }
        }
    };
    const double before = cost_;
    turn();
    std::vector<std::pair<std::size_t, LotChoice>> old;
    for (const std::size_t i : items) old.emplace_back(i, choices_[i]);
    evaluate({items.begin(), items.end()});
    if (cost_ < before - 1e-7 * std::max(1.0, std::abs(before))) return true;
    turn();
    for (auto& [i, choice] : old) choices_[i] = std::move(choice);
    cost_ = before;
    return false;
}

void OrderSearch::begin() {
    for (const std::vector<std::size_t>& orders : of_supplier_) {
        std::vector<bool> best = open_;
        double least = cost_;
        for (std::size_t apart = 1; apart <= orders.size(); apart += 1 + apart / 4) {
            std::vector<bool> trial = open_;
            for (std::size_t at = 0; at < orders.size(); ++at) trial[orders[at]] = at % apart == 0;
            set(trial);
            if (cost_ < least) {
                least = cost_;
                best = trial;
            }
        }
        set(best);
    }
}

void OrderSearch::improve(const std::function<bool()>& stop) {
    bool better = true;
    while (better && !stop()) {
        better = false;
        for (const std::vector<std::size_t>& orders : of_supplier_)
            for (std::size_t at = 0; at < orders.size() && !stop(); ++at) {
                if (try_change({orders[at]})) better = true;
                if (!open_[orders[at]]) continue;
                for (std::size_t by = 1; by <= furthest && open_[orders[at]]; ++by) {
                    if (at >= by && !open_[orders[at - by]] && try_change({orders[at], orders[at - by]})) better = true;
                    if (open_[orders[at]] && at + by < orders.size() && !open_[orders[at + by]] &&
                        try_change({orders[at], orders[at + by]}))
                        better = true;
                }
            }
    }
}

void OrderSearch::shake(unsigned seed, int changes) {
    std::mt19937 engine(seed);
    std::vector<bool> open = open_;
    for (int n = 0; n < changes; ++n) {
        const std::size_t o = engine() % open.size();
        open[o] = !open[o];
    }
    set(open);
}

} // namespace lotwort::plan
