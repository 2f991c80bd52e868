#include "bound.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {
constexpr int patience = 12;       // steps without a better bound before they are halved
constexpr double memory = 0.9;     // of how much of an order there is
constexpr double momentum = 0.5;   // of the last steps
constexpr double begun_pace = 0.3; // where prices are good already
constexpr int halvings = 30;
} // namespace

OrderPrices::OrderPrices(const JointLots& lots) : lots_(lots), orders_(lots.orders.size()) {
    for (const LotItem& item : lots.items) {
        terms_.emplace_back(item.chances.size());
        way_.emplace_back(item.chances.size(), 0.0);
    }
    // to begin with all pay alike
    for (const LotOrder& order : lots.orders) {
        if (order.free_from > 0.0) continue; // what they pay they would have of the price of their goods
        for (const LotRef& line : order.lines)
            terms_[line.item][line.chance].setup = order.delivery / static_cast<double>(order.lines.size());
    }
    choices_.resize(lots.items.size());
}

// The least of items and orders apart.
double OrderPrices::value() {
    for (std::size_t o = 0; o < orders_.size(); ++o) {
        Order& now = orders_[o];
        const LotOrder& order = lots_.orders[o];
        now.goods = 0.0;
        double off = 0.0;
        if (order.minimum > 0.0) off += now.for_minimum / order.minimum;
        if (order.free_from > 0.0) off += now.for_free / order.free_from;
        for (const LotRef& line : order.lines) terms_[line.item][line.chance].price_off = off;
    }
    double sum = 0.0;
    for (std::size_t i = 0; i < lots_.items.size(); ++i) {
        const LotItem& item = lots_.items[i];
        choices_[i] = sizer_.solve(item, terms_[i]);
        sum += choices_[i].cost;
        for (std::size_t c = 0; c < item.chances.size(); ++c) {
            const int order = lots_.order_of[i][c], packs = choices_[i].packs[c];
            if (order < 0 || packs == 0) continue;
            for (const PackBand& band : item.chances[c].bands)
                if (packs >= band.from && packs <= band.to)
                    orders_[static_cast<std::size_t>(order)].goods += packs * band.price;
        }
    }
    for (std::size_t o = 0; o < orders_.size(); ++o) {
        sum += order_value(lots_.orders[o], orders_[o], terms_);
    }
    return sum;
}

// An order alone, which earns what its items pay for coming.
double OrderPrices::order_value(const LotOrder& order, const Order& now,
                                const std::vector<std::vector<ChanceTerms>>& terms) const {
    double alone = order.delivery + now.for_minimum;
    for (const LotRef& line : order.lines) alone -= terms[line.item][line.chance].setup;
    const double spared = order.free_from > 0.0 ? std::min(0.0, now.for_free - order.delivery) : 0.0;
    return std::min(0.0, alone + spared);
}

OrderPrices::OrderPrices(const JointLots& lots, const OrderPrices& begun) : OrderPrices(lots) {
    terms_ = begun.best_terms_;
    orders_ = begun.best_orders_;
    pace_ = begun_pace;
}

// The items that came with an order pay more next time, each the less the more of them share it, until together they
// pay it and no more. So orders by themselves are worth nothing, and no price is wasted on them.
void OrderPrices::move(double upper, double value) {
    double norm = 0.0;
    for (std::size_t o = 0; o < orders_.size(); ++o) {
        const LotOrder& order = lots_.orders[o];
        const Order& now = orders_[o];
        for (const LotRef& line : order.lines) {
            const double bought = choices_[line.item].packs[line.chance] > 0 ? 1.0 : 0.0;
            double& way = way_[line.item][line.chance];
            way = (1.0 - momentum) * bought + momentum * way;
            norm += (way - now.share) * (way - now.share);
        }
        if (order.minimum > 0.0) norm += std::pow(now.share - now.goods / order.minimum, 2);
        if (order.free_from > 0.0) norm += std::pow(now.share - now.goods / order.free_from, 2);
    }
    if (norm <= 0.0) {
        pace_ = 0.0; // items and orders agree: nothing is better
        return;
    }
    const double length = pace_ * std::max(1e-3 * std::abs(upper), upper - value) / norm;
    for (std::size_t o = 0; o < orders_.size(); ++o) pay_together(lots_.orders[o], orders_[o], length);
}

// A step of that length, and the nearest prices to it that come to no more than the order.
void OrderPrices::pay_together(const LotOrder& order, Order& now, double length) {
    const double minimum = order.minimum > 0.0 ? now.for_minimum - length * now.goods / order.minimum : 0.0;
    const double free = order.free_from > 0.0 ? now.for_free - length * now.goods / order.free_from : 0.0;
    const auto for_minimum = [&](double off) {
        return order.minimum > 0.0 ? std::clamp(minimum + off, 0.0, 0.5 * order.minimum) : 0.0;
    };
    const auto for_free = [&](double off) {
        return order.free_from > 0.0 ? std::clamp(free + off, 0.0, std::min(order.delivery, 0.5 * order.free_from))
                                     : order.delivery;
    };
    const auto pays = [&](const LotRef& line, double off) {
        return std::max(0.0, terms_[line.item][line.chance].setup + length * way_[line.item][line.chance] - off);
    };
    const auto too_much = [&](double off) {
        double sum = -for_minimum(off) - for_free(off);
        for (const LotRef& line : order.lines) sum += pays(line, off);
        return sum;
    };
    double low = 0.0, high = 0.0;
    if (too_much(0.0) > 0.0) {
        for (const LotRef& line : order.lines) high = std::max(high, pays(line, 0.0));
        for (int halving = 0; halving < halvings; ++halving) {
            const double middle = 0.5 * (low + high);
            (too_much(middle) > 0.0 ? low : high) = middle;
        }
    }
    for (const LotRef& line : order.lines) terms_[line.item][line.chance].setup = pays(line, high);
    now.for_minimum = for_minimum(high);
    now.for_free = order.free_from > 0.0 ? for_free(high) : 0.0;
    now.share = memory * now.share + (1.0 - memory) * std::min(1.0, high / length);
}

bool OrderPrices::step(double upper) {
    const double now = value();
    if (!std::isfinite(now)) return false;
    if (now > best_ + 1e-9) {
        if (now > best_ + 1e-5 * std::abs(best_)) stale_ = 0;
        best_ = now;
        best_terms_ = terms_;
        best_orders_ = orders_;
    } else if (++stale_ >= patience) {
        stale_ = 0;
        pace_ *= 0.7;
    }
    move(std::isfinite(upper) ? upper : best_ + 0.05 * std::abs(best_), now);
    return true;
}

} // namespace lotwort::plan
