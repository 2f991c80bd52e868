#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/plan/verify_purchase.hpp>

namespace lotwort::plan {

namespace {

// Something on the shelf: a lot, or a line that was delivered.
struct Heap {
    std::string item;
    Date comes, gone; // first day of use, first day of no use
    double amount = 0.0;
    double unit_price = 0.0, keeps_share = 0.0; // of what is left at the horizon
    Worth worth;
    Date arrived;
};

class Walk {
public:
    Walk(const PurchaseCase& wanted, const PurchasePlan& plan) : wanted_(wanted), plan_(plan) {}

    std::vector<std::string> run() {
        for (const PurchaseLate& late : plan_.late)
            if (late.earliest) until_ = std::max(until_, *late.earliest);
        until_ = std::max(until_, wanted_.until);
        shelve();
        look_at_orders();
        look_at_uses();
        walk();
        return std::move(found_);
    }

private:
    template <class... Args>
    void breach(fmt::format_string<Args...> text, Args&&... args) {
        found_.push_back(fmt::format(text, std::forward<Args>(args)...));
    }
    static bool differ(double a, double b) { return std::abs(a - b) > 1e-6 * std::max(1.0, std::abs(b)); }
    void shelve();
    void look_at_orders();
    void look_at_order(const PurchaseOrderPlan& order, const SupplierTerms& terms);
    void look_at_uses();
    void walk();
    [[nodiscard]] Date day_of(const PurchaseUse& use) const;
    [[nodiscard]] std::size_t heap_of(const PurchaseUse& use) const {
        return use.supply ? *use.supply : lines_.at({*use.order, *use.line});
    }

    const PurchaseCase& wanted_;
    const PurchasePlan& plan_;
    Date until_{};
    std::vector<Heap> heaps_; // the supplies, then the lines
    std::map<std::pair<std::size_t, std::size_t>, std::size_t> lines_;
    std::vector<std::string> found_;
};

void Walk::shelve() {
    for (const PurchaseSupply& supply : wanted_.supplies)
        heaps_.push_back({supply.item, supply.from, supply.last ? *supply.last + std::chrono::days(1) : Date::max(),
                          supply.amount, 0.0, 0.0, supply.worth, supply.from});
    for (std::size_t o = 0; o < plan_.orders.size(); ++o)
        for (std::size_t l = 0; l < plan_.orders[o].lines.size(); ++l) {
            const PurchaseLine& line = plan_.orders[o].lines[l];
            const PurchaseOffer& offer = wanted_.offers.at(line.offer);
            Date comes = plan_.orders[o].arrives; // and is counted on a buffer after
            for (const SupplierTerms& terms : wanted_.suppliers)
                if (terms.name == offer.supplier) comes += std::chrono::days(terms.buffer_days);
            Heap heap{offer.item, comes,       Date::max(), line.packs * offer.pack, line.price / offer.pack,
                      1.0,        offer.worth, comes};
            const double age = static_cast<double>((until_ - plan_.orders[o].arrives).count());
            if (offer.shelf_life_days) {
                heap.gone = plan_.orders[o].arrives + std::chrono::days(*offer.shelf_life_days);
                heap.keeps_share = std::max(0.0, (*offer.shelf_life_days - age) / *offer.shelf_life_days);
            } else if (offer.worth_days) {
                heap.keeps_share = std::max(0.0, (*offer.worth_days - age) / *offer.worth_days);
            }
            if (offer.worth)
                heap.keeps_share = std::min(heap.keeps_share, offer.worth(comes, until_) / offer.worth(comes, comes));
            lines_[{o, l}] = heaps_.size();
            heaps_.push_back(heap);
        }
}

void Walk::look_at_order(const PurchaseOrderPlan& order, const SupplierTerms& terms) {
    const auto closed = [&](Date day) { return terms.closed[std::chrono::weekday(day).c_encoding()]; };
    const auto when = to_iso(order.order_by);
    if (order.order_by < wanted_.today) breach("B2 {} is ordered from on {}, before today", order.supplier, when);
    if (closed(order.order_by) || closed(order.arrives)) breach("B2 {} is closed: order of {}", order.supplier, when);
    double goods = 0.0;
    for (const PurchaseLine& line : order.lines) {
        const PurchaseOffer& offer = wanted_.offers.at(line.offer);
        if (offer.supplier != order.supplier) breach("B2 {} does not sell {}", order.supplier, offer.item);
        if ((order.arrives - order.order_by).count() < offer.lead_days)
            breach("B2 {} comes before its lead time", offer.item);
        if (offer.valid_until && order.order_by > *offer.valid_until)
            breach("B6 the offer of {} has ended", offer.item);
        if (line.packs < 1) breach("B3 {} packs of {}", line.packs, offer.item);
        double price = offer.steps.front().price;
        for (const PurchaseStep& step : offer.steps)
            if (step.packs <= line.packs) price = step.price;
        if (differ(line.price, price)) breach("B3 {} packs of {} cost {} each", line.packs, offer.item, price);
        if (differ(line.cost, price * line.packs)) breach("money: the line of {}", offer.item);
        goods += price * line.packs;
    }
    if (differ(order.goods, goods)) breach("money: the goods of {} on {}", order.supplier, when);
}

void Walk::look_at_orders() {
    double goods = 0.0, deliveries = 0.0;
    std::map<std::pair<std::string, Date>, std::pair<double, double>> by_day; // goods and delivery
    for (const PurchaseOrderPlan& order : plan_.orders) {
        SupplierTerms terms;
        for (const SupplierTerms& stated : wanted_.suppliers)
            if (stated.name == order.supplier) terms = stated;
        look_at_order(order, terms);
        by_day[{order.supplier, order.order_by}].first += order.goods;
        by_day[{order.supplier, order.order_by}].second += order.delivery;
        goods += order.goods;
        deliveries += order.delivery;
    }
    for (const auto& [which, money] : by_day) {
        for (const SupplierTerms& terms : wanted_.suppliers) {
            if (terms.name != which.first) continue;
            if (money.first < terms.minimum_order - 1e-6)
                breach("B4 {} takes no order under {}", terms.name, terms.minimum_order);
            double charge =
                terms.delivery_on.contains(which.second) ? terms.delivery_on.at(which.second) : terms.delivery;
            if (terms.free_from && money.first >= *terms.free_from - 1e-6) charge = 0.0;
            if (differ(money.second, charge)) breach("B5 delivery of {} on {}", terms.name, to_iso(which.second));
        }
    }
    if (differ(plan_.goods, goods) || differ(plan_.deliveries, deliveries)) breach("money: goods and deliveries");
    if (wanted_.budget && goods + deliveries > *wanted_.budget + 1e-6) breach("money: over the budget");
    if (plan_.bound > plan_.total_cost + 1e-6 * std::max(1.0, std::abs(plan_.total_cost)))
        breach("money: the bound lies above the cost");
}

// What comes after the day of the need serves the late part of it.
Date Walk::day_of(const PurchaseUse& use) const {
    const PurchaseNeed& need = wanted_.needs.at(use.need);
    const Date comes = heaps_[heap_of(use)].comes;
    if (comes <= need.day) return need.day;
    std::optional<Date> day; // parts of one need may be late by different days
    for (const PurchaseLate& late : plan_.late)
        if (late.item == need.item && late.date == need.day && late.brew == need.brew && late.earliest &&
            *late.earliest >= comes && (!day || *late.earliest < *day))
            day = late.earliest;
    return day.value_or(need.day);
}

void Walk::look_at_uses() {
    std::vector<double> in_time(wanted_.needs.size(), 0.0), in_all = in_time, short_of = in_time, never = in_time;
    for (const PurchaseUse& use : plan_.uses) {
        const PurchaseNeed& need = wanted_.needs.at(use.need);
        const Heap& heap = heaps_[heap_of(use)];
        const Date day = day_of(use);
        const bool is_aside = use.supply && wanted_.supplies.at(*use.supply).set_aside;
        if ((is_aside || need.set_aside) && use.supply != need.set_aside)
            breach("B1 {} of {} is not served by what is set aside for it", need.item, to_iso(need.day));
        if (day < heap.comes || day >= heap.gone)
            breach("B6 {} of {} is used on {}, outside its days", heap.item, to_iso(heap.comes), to_iso(day));
        double each = heap.worth ? heap.worth(heap.arrived, day) : 1.0;
        if (heap.item != need.item) {
            const auto other = std::ranges::find(need.alternatives, heap.item, &Alternative::item);
            if (other == need.alternatives.end()) breach("B1 {} does not serve {}", heap.item, need.item);
            if (other != need.alternatives.end()) each *= other->factor;
        } else if (need.by_mass) {
            each = 1.0;
        }
        (day == need.day ? in_time : in_all)[use.need] += use.amount * each;
    }
    for (std::size_t n = 0; n < wanted_.needs.size(); ++n) {
        const PurchaseNeed& need = wanted_.needs[n];
        double late_amount = 0.0, no_more = 0.0;
        for (const PurchaseLate& late : plan_.late)
            if (late.item == need.item && late.date == need.day && late.brew == need.brew)
                (late.earliest ? late_amount : no_more) += late.amount_short;
        const double slack = 1e-5 * std::max(1.0, need.amount);
        if (in_time[n] < need.amount - late_amount - no_more - slack)
            breach("B1 {} of {}: {} of {} served", need.item, to_iso(need.day), in_time[n], need.amount);
        if (in_time[n] + in_all[n] < need.amount - no_more - slack)
            breach("B1 {} of {} is not served even late", need.item, to_iso(need.day));
    }
}

// Day by day: what comes, what is used, what spoils, what is kept overnight.
void Walk::walk() {
    std::vector<double> left;
    for (const Heap& heap : heaps_) left.push_back(heap.amount);
    double holding = 0.0;
    for (Date day = wanted_.today; day <= until_; day += std::chrono::days(1)) {
        for (const PurchaseUse& use : plan_.uses)
            if (day_of(use) == day) left[heap_of(use)] -= use.amount;
        std::map<std::string, double> there;
        for (std::size_t h = 0; h < heaps_.size(); ++h) {
            if (left[h] < -1e-5) breach("B1 more of {} is used than there is, on {}", heaps_[h].item, to_iso(day));
            if (heaps_[h].comes > day || day >= heaps_[h].gone) continue;
            there[heaps_[h].item] += left[h];
            const auto price = wanted_.holding.find(heaps_[h].item);
            if (price == wanted_.holding.end()) continue;
            const auto special = price->second.on.find(day);
            holding += left[h] * (special == price->second.on.end() ? price->second.per_day : special->second);
        }
        for (const PurchaseNeed& need : wanted_.needs)
            if (need.day == day && !plan_.below_safety &&
                there[need.item] < need.safety - 1e-5 * std::max(1.0, need.safety))
                breach("B1 {} of {} is left after {}, safety stock {}", there[need.item], need.item, to_iso(day),
                       need.safety);
    }
    double value = 0.0;
    std::map<std::string, double> counted;
    std::vector<std::size_t> dearest(heaps_.size());
    for (std::size_t h = 0; h < heaps_.size(); ++h) dearest[h] = h;
    const auto worth = [&](std::size_t h) { return heaps_[h].unit_price * heaps_[h].keeps_share; };
    std::ranges::sort(dearest, [&](std::size_t a, std::size_t b) { return worth(a) > worth(b); });
    for (const std::size_t h : dearest) {
        if (heaps_[h].gone <= until_ || worth(h) <= 0.0) continue;
        double amount = std::max(0.0, left[h]);
        const auto most = wanted_.most_left.find(heaps_[h].item);
        if (most != wanted_.most_left.end()) amount = std::min(amount, most->second - counted[heaps_[h].item]);
        counted[heaps_[h].item] += amount;
        value += amount * worth(h);
    }
    if (differ(plan_.holding, holding)) breach("money: holding {} and not {}", holding, plan_.holding);
    if (differ(plan_.left_value, value)) breach("money: what is left is worth {} and not {}", value, plan_.left_value);
    if (differ(plan_.total_cost, plan_.goods + plan_.deliveries + holding - value)) breach("money: the total");
}

} // namespace

std::vector<std::string> purchase_breaches(const PurchaseCase& wanted, const PurchasePlan& plan) {
    return Walk(wanted, plan).run();
}

} // namespace lotwort::plan
