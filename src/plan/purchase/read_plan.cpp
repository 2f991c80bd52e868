#include "read_plan.hpp"
#include "days.hpp"
#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace lotwort::plan {

namespace {

constexpr std::chrono::days one{1};
constexpr double crumb = 1e-7; // of a unit; the solver's tolerance

class Reader {
public:
    Reader(const EasedCase& eased, const PurchaseModel& model, const std::vector<double>& values)
        : case_(eased), model_(model), values_(values) {}
    PurchasePlan run() {
        out_.found = true;
        read_orders();
        read_uses();
        count_money();
        look_at_safety();
        out_.total_cost = out_.goods + out_.deliveries + out_.holding - out_.left_value;
        return std::move(out_);
    }

private:
    void read_orders();
    void read_uses();
    void count_money();
    void look_at_safety();

    const EasedCase& case_;
    const PurchaseModel& model_;
    const std::vector<double>& values_;
    std::map<std::size_t, std::pair<std::size_t, std::size_t>> line_of_; // order and line, by source
    PurchasePlan out_;
};

void Reader::read_orders() {
    std::vector<PurchaseGroup> groups = model_.groups;
    std::ranges::stable_sort(groups, {}, &PurchaseGroup::order_day);
    for (const PurchaseGroup& group : groups) {
        std::map<Date, PurchaseOrderPlan> by_arrival;
        std::map<Date, std::vector<std::size_t>> sources;
        double goods = 0.0;
        for (const std::size_t s : group.sources) {
            const PurchaseSource& source = model_.sources[s];
            int packs = 0;
            for (const int column : source.packs) packs += int(std::lround(values_[static_cast<std::size_t>(column)]));
            if (packs == 0) continue;
            const PurchaseOffer& offer = case_.now.offers[source.offer];
            double price = offer.steps.front().price;
            for (const PurchaseStep& step : offer.steps)
                if (packs >= step.packs) price = step.price;
            by_arrival[source.from].lines.push_back({source.offer, packs, price, packs * price});
            sources[source.from].push_back(s);
            goods += packs * price;
        }
        const auto& free_from = terms_of(case_.now, group.supplier).free_from;
        double delivery = free_from && goods >= *free_from - 1e-6 ? 0.0 : group.delivery;
        for (auto& [arrives, order] : by_arrival) {
            order.supplier = group.supplier;
            order.order_by = group.order_day;
            order.arrives = arrives - std::chrono::days(terms_of(case_.now, group.supplier).buffer_days);
            order.delivery = delivery; // once, whatever comes later
            delivery = 0.0;
            for (const PurchaseLine& line : order.lines) order.goods += line.cost;
            for (std::size_t l = 0; l < order.lines.size(); ++l)
                line_of_[sources[arrives][l]] = {out_.orders.size(), l};
            out_.goods += order.goods;
            out_.deliveries += order.delivery;
            out_.orders.push_back(std::move(order));
        }
    }
}

void Reader::read_uses() {
    for (std::size_t s = 0; s < model_.sources.size(); ++s)
        for (const auto& [need, column] : model_.sources[s].uses) {
            const double amount = values_[static_cast<std::size_t>(column)];
            if (amount <= crumb) continue;
            PurchaseUse use{case_.asked_need[need], model_.sources[s].supply, {}, {}, amount};
            if (!use.supply) std::tie(use.order, use.line) = line_of_.at(s);
            out_.uses.push_back(use);
        }
}

// Holding and what is left, from packs and uses; not from the model's objective, which may have paid a dearer price.
void Reader::count_money() {
    std::map<std::string, std::vector<std::pair<double, double>>> valued; // worth of a unit, and units
    for (std::size_t s = 0; s < model_.sources.size(); ++s) {
        const PurchaseSource& source = model_.sources[s];
        Date end = case_.now.until + one;
        if (source.spoilt) end = std::min(end, *source.spoilt);
        double left = source.amount, price = 0.0;
        if (const auto at = line_of_.find(s); !source.supply && at != line_of_.end()) {
            const PurchaseLine& line = out_.orders[at->second.first].lines[at->second.second];
            left = line.packs * case_.now.offers[source.offer].pack;
            price = line.price / case_.now.offers[source.offer].pack;
        }
        for (const auto& [need, column] : source.uses) {
            const double amount = values_[static_cast<std::size_t>(column)];
            left -= amount;
            out_.holding += amount * keeping(case_.now, source.item, source.from, case_.now.needs[need].day);
        }
        left = std::max(0.0, left);
        out_.holding += left * keeping(case_.now, source.item, source.from, end);
        if (left > 0.0 && source.value_share * price > 0.0)
            valued[source.item].push_back({source.value_share * price, left});
    }
    // the dearest first, as far as any of it counts
    for (auto& [item, heaps] : valued) {
        const auto most = case_.now.most_left.find(item);
        double room = most != case_.now.most_left.end() ? most->second : no_limit;
        std::ranges::sort(heaps, std::greater<>());
        for (const auto& [worth, amount] : heaps) {
            const double counted = std::min(room, amount);
            out_.left_value += counted * worth;
            room -= counted;
        }
    }
}

// Is what is left after each day's uses, of what came by then and still serves, as much as was asked for?
void Reader::look_at_safety() {
    for (const PurchaseNeed& need : case_.asked.needs) {
        if (need.safety <= 0.0) continue;
        double there = 0.0;
        for (const PurchaseSource& source : model_.sources) {
            if (source.item != need.item || source.from > need.day || (source.spoilt && need.day >= *source.spoilt))
                continue;
            there += source.amount;
            for (const int packs : source.packs)
                there += std::round(values_[static_cast<std::size_t>(packs)]) * case_.now.offers[source.offer].pack;
            for (const auto& [served, column] : source.uses)
                if (case_.now.needs[served].day <= need.day) there -= values_[static_cast<std::size_t>(column)];
        }
        const double lacks = need.safety - std::max(0.0, there);
        if (lacks <= 1e-6 * std::max(1.0, need.safety)) continue;
        out_.below_safety = true;
        const auto known = std::ranges::find(out_.safety_short, need.item, &SafetyShort::item);
        if (known == out_.safety_short.end())
            out_.safety_short.push_back({need.item, need.day, need.safety, lacks});
        else if (lacks > known->lacks)
            *known = {need.item, need.day, need.safety, lacks};
    }
}

} // namespace

PurchasePlan read_plan(const EasedCase& eased, const PurchaseModel& model, const std::vector<double>& values) {
    return Reader(eased, model, values).run();
}

} // namespace lotwort::plan
