#include "search.hpp"
#include "draws.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {
constexpr double of_lacking = 1.0;  // of what lacks to a minimum order: what that is held to cost
constexpr double least_lead = 0.05; // share of the price by which items are led to a minimum order
constexpr double begun_share = 0.3; // of an order, that each pays to begin with
constexpr double of_news = 0.5;     // of what an item pays for an order: a part by what the last round says
constexpr std::size_t furthest = 4; // orders that one is moved by at most
} // namespace

OrderSearch::OrderSearch(const JointLots& lots) : lots_(lots), open_(lots.orders.size(), true) {
    for (const LotItem& item : lots.items) terms_.emplace_back(item.chances.size());
    choices_.resize(lots.items.size());
    off_.resize(lots.orders.size(), 0.0);
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
        const bool is_free = order.free_from > 0.0 && goods >= order.free_from;
        sum += off_[o] * goods + (is_free ? 0.0 : order.delivery);
        sum += of_lacking * std::max(0.0, order.minimum - goods);
    }
    return sum;
}

void OrderSearch::evaluate(const std::vector<std::size_t>& items) {
    for (const std::size_t i : items) choices_[i] = sizer_.solve(lots_.items[i], terms_[i]);
    cost_ = together();
}

void OrderSearch::set_terms(std::size_t o) {
    for (const LotRef& line : lots_.orders[o].lines) {
        terms_[line.item][line.chance].open = open_[o];
        terms_[line.item][line.chance].price_off = off_[o];
    }
}

void OrderSearch::set(const std::vector<bool>& open) {
    set({open, std::vector<double>(open.size(), 0.0)});
}

void OrderSearch::set(const Days& days) {
    open_ = days.open;
    off_ = days.off;
    std::vector<std::size_t> all;
    for (std::size_t i = 0; i < lots_.items.size(); ++i) all.push_back(i);
    for (std::size_t o = 0; o < open_.size(); ++o) set_terms(o);
    evaluate(all);
}

// Kept if that is better; else as before.
bool OrderSearch::try_change(const std::vector<std::size_t>& orders, const std::function<void(std::size_t)>& change) {
    std::set<std::size_t> items; // that may choose anew
    std::vector<std::pair<bool, double>> was;
    for (const std::size_t o : orders) {
        was.emplace_back(open_[o], off_[o]);
        change(o);
        set_terms(o);
        for (const LotRef& line : lots_.orders[o].lines) // who bought nothing there misses nothing
            if (open_[o] || choices_[line.item].packs[line.chance] > 0) items.insert(line.item);
    }
    const double before = cost_;
    std::vector<std::pair<std::size_t, LotChoice>> old;
    for (const std::size_t i : items) old.emplace_back(i, choices_[i]);
    evaluate({items.begin(), items.end()});
    if (cost_ < before - 1e-7 * std::max(1.0, std::abs(before))) return true;
    for (std::size_t n = 0; n < orders.size(); ++n) {
        open_[orders[n]] = was[n].first;
        off_[orders[n]] = was[n].second;
        set_terms(orders[n]);
    }
    for (auto& [i, choice] : old) choices_[i] = std::move(choice);
    cost_ = before;
    return false;
}

bool OrderSearch::turn(const std::vector<std::size_t>& orders) {
    return try_change(orders, [this](std::size_t o) { open_[o] = !open_[o]; });
}

// More goods in an order, up to its minimum or to free delivery: items are led there by a price that none pays.
bool OrderSearch::lead(std::size_t o) {
    const LotOrder& order = lots_.orders[o];
    double most = 0.0;
    if (order.minimum > 0.0) most = least_lead;
    if (order.free_from > 0.0) most = std::max(most, order.delivery / order.free_from);
    if (!open_[o] || most <= 0.0) return false;
    bool better = false;
    for (const double share : {0.0, 0.3, 1.0, 3.0}) {
        if (share * most == off_[o]) continue;
        better = try_change({o}, [&](std::size_t at) { off_[at] = std::min(0.5, share * most); }) || better;
    }
    return better;
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

// Orders that nobody bought of. They cost nothing, but each is looked at by every item.
void OrderSearch::close_unused() {
    for (std::size_t o = 0; o < open_.size(); ++o) {
        if (!open_[o] || goods_of(o) > 0.0) continue;
        open_[o] = false;
        set_terms(o);
    }
}

void OrderSearch::share(const std::vector<std::vector<ChanceTerms>>& prices, int rounds) {
    std::vector<std::vector<ChanceTerms>> paid = prices;
    Days best = days();
    double least = no_limit;
    for (int round = 0; round < rounds; ++round) {
        for (std::size_t i = 0; i < lots_.items.size(); ++i) choices_[i] = sizer_.solve(lots_.items[i], paid[i]);
        std::vector<bool> used(open_.size(), false);
        for (std::size_t o = 0; o < open_.size(); ++o) {
            const LotOrder& order = lots_.orders[o];
            const double goods = goods_of(o);
            used[o] = goods > 0.0;
            double buyers = 0.0;
            for (const LotRef& line : order.lines) buyers += choices_[line.item].packs[line.chance] > 0 ? 1.0 : 0.0;
            const bool is_free = order.free_from > 0.0 && goods >= order.free_from;
            const double all = (is_free ? 0.0 : order.delivery) + of_lacking * std::max(0.0, order.minimum - goods);
            for (const LotRef& line : order.lines) {
                double& pays = paid[line.item][line.chance].setup;
                const bool buys = choices_[line.item].packs[line.chance] > 0;
                pays += of_news * (all / std::max(1.0, buys ? buyers : buyers + 1.0) - pays);
            }
        }
        set(used);
        if (cost_ < least) {
            least = cost_;
            best = days();
        }
    }
    set(best);
}

std::vector<std::vector<ChanceTerms>> first_prices(const JointLots& lots) {
    std::vector<std::vector<ChanceTerms>> prices;
    for (const LotItem& item : lots.items) prices.emplace_back(item.chances.size());
    for (const LotOrder& order : lots.orders)
        for (const LotRef& line : order.lines) prices[line.item][line.chance].setup = begun_share * order.delivery;
    return prices;
}

void OrderSearch::improve(const std::function<bool()>& stop) {
    close_unused();
    bool better = true;
    while (better && !stop()) {
        better = false;
        for (const std::vector<std::size_t>& orders : of_supplier_)
            for (std::size_t at = 0; at < orders.size() && !stop(); ++at) {
                if (turn({orders[at]})) better = true;
                if (!open_[orders[at]]) continue;
                if (lead(orders[at])) better = true;
                for (std::size_t by = 1; by <= furthest && open_[orders[at]]; ++by) {
                    if (at >= by && !open_[orders[at - by]] && turn({orders[at], orders[at - by]})) better = true;
                    if (open_[orders[at]] && at + by < orders.size() && !open_[orders[at + by]] &&
                        turn({orders[at], orders[at + by]}))
                        better = true;
                }
            }
    }
}

void OrderSearch::shake(unsigned seed, int changes) {
    Draws draws(seed);
    Days shaken = days();
    for (int n = 0; n < changes; ++n) {
        const std::size_t o = draws.below(open_.size());
        shaken.open[o] = !shaken.open[o];
    }
    set(shaken);
}

} // namespace lotwort::plan
