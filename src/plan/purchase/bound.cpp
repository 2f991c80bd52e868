#include "bound.hpp"
#include <algorithm>
#include <cmath>

namespace lotwort::plan {

namespace {
constexpr int patience = 12;     // steps without a better bound before they are halved
constexpr double memory = 0.95;  // of how often an order is placed
constexpr double momentum = 0.3; // of the last step
} // namespace

OrderPrices::OrderPrices(const JointLots& lots) : lots_(lots), orders_(lots.orders.size()), often_(lots.orders.size()) {
    for (const LotItem& item : lots.items) {
        terms_.emplace_back(item.chances.size());
        way_.emplace_back(item.chances.size(), 0.0);
    }
    // to begin with all pay alike
    for (const LotOrder& order : lots.orders)
        for (const LotRef& line : order.lines)
            terms_[line.item][line.chance].setup = order.delivery / static_cast<double>(order.lines.size());
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
        often_[o] = memory * often_[o] + (orders_[o].open ? 1.0 - memory : 0.0);
    }
    return sum;
}

// An order alone, which earns what its items pay for coming.
double OrderPrices::order_value(const LotOrder& order, Order& now,
                                const std::vector<std::vector<ChanceTerms>>& terms) const {
    double alone = order.delivery + now.for_minimum;
    for (const LotRef& line : order.lines) alone -= terms[line.item][line.chance].setup;
    const double spared = order.free_from > 0.0 ? std::min(0.0, now.for_free - order.delivery) : 0.0;
    now.open = alone + spared < 0.0;
    now.free = now.open && spared < 0.0;
    return now.open ? alone + spared : 0.0;
}

double OrderPrices::bound_with(const JointLots& lots) {
    double sum = 0.0;
    for (std::size_t i = 0; i < lots.items.size(); ++i) sum += sizer_.solve(lots.items[i], best_terms_[i]).cost;
    for (std::size_t o = 0; o < lots.orders.size(); ++o)
        sum += order_value(lots.orders[o], best_orders_[o], best_terms_);
    return sum;
}

// Who bought without an order pays more next time; who left an order to others pays less.
void OrderPrices::move(double upper, double value) {
    double norm = 0.0;
    std::vector<double> minimum(orders_.size(), 0.0), free(orders_.size(), 0.0);
    const auto at_zero = [](double price, double way) { return price <= 0.0 && way < 0.0; };
    for (std::size_t o = 0; o < orders_.size(); ++o) {
        const LotOrder& order = lots_.orders[o];
        const Order& now = orders_[o];
        for (const LotRef& line : order.lines) {
            const double bought = choices_[line.item].packs[line.chance] > 0 ? 1.0 : 0.0;
            double& way = way_[line.item][line.chance];
            way = bought - (now.open ? 1.0 : 0.0) + momentum * way;
            if (at_zero(terms_[line.item][line.chance].setup, way)) way = 0.0;
            norm += way * way;
        }
        if (order.minimum > 0.0) minimum[o] = (now.open ? 1.0 : 0.0) - now.goods / order.minimum;
        if (order.free_from > 0.0) free[o] = (now.free ? 1.0 : 0.0) - now.goods / order.free_from;
        if (at_zero(now.for_minimum, minimum[o])) minimum[o] = 0.0;
        if (at_zero(now.for_free, free[o])) free[o] = 0.0;
        norm += minimum[o] * minimum[o] + free[o] * free[o];
    }
    if (norm <= 0.0) {
        pace_ = 0.0; // items and orders agree: nothing is better
        return;
    }
    const double length = pace_ * std::max(1e-3 * std::abs(upper), upper - value) / norm;
    for (std::size_t o = 0; o < orders_.size(); ++o) {
        const LotOrder& order = lots_.orders[o];
        Order& now = orders_[o];
        now.for_minimum = std::clamp(now.for_minimum + length * minimum[o], 0.0, 0.5 * order.minimum);
        now.for_free =
            std::clamp(now.for_free + length * free[o], 0.0, std::min(order.delivery, 0.5 * order.free_from));
        // none need pay more than the whole
        for (const LotRef& line : order.lines) {
            double& setup = terms_[line.item][line.chance].setup;
            setup = std::clamp(setup + length * way_[line.item][line.chance], 0.0, order.delivery + now.for_minimum);
        }
    }
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
