#include <algorithm>
#include <lotwort/plan/shortage.hpp>
#include <map>

namespace lotwort::plan {

namespace {

// What open orders bring of an item, and how much of it is spoken for.
struct Incoming {
    Date arrives;
    std::string item;
    Amount left;
};

std::vector<Incoming> incoming_of(const std::vector<Order>& orders, const std::vector<LotState>& lots) {
    std::vector<Incoming> all;
    for (const Order& order : orders) {
        if (!order.arrives) continue;
        for (const OrderRest& rest : rest_of(order, lots))
            all.push_back({*order.arrives, order.lines[rest.line].item, rest.awaited});
    }
    std::ranges::stable_sort(all, {}, &Incoming::arrives);
    return all;
}

void take_from_orders(Shortage& shortage, std::vector<Incoming>& incoming) {
    for (Incoming& order : incoming) {
        if (order.item != shortage.item || order.left.measure != shortage.missing.measure) continue;
        if (order.arrives > shortage.date) {
            if (order.left.units > 0 && !shortage.more_due) shortage.more_due = order.arrives;
            continue;
        }
        const Amount take = std::min(order.left, shortage.missing);
        order.left = order.left - take;
        shortage.from_orders = shortage.from_orders + take;
        shortage.missing = shortage.missing - take;
    }
}

} // namespace

Shortages shortages(std::vector<BrewToFill> brews, const std::vector<Item>& items, std::vector<LotState> lots,
                    const std::vector<Order>& orders) {
    std::ranges::stable_sort(brews, {}, &BrewToFill::date);
    auto incoming = incoming_of(orders, lots);
    struct Touched {
        std::string brew;
        double crumb_kg;
    };
    std::map<std::string, Touched> touched;
    Shortages out;
    for (const BrewToFill& brew : brews)
        for (const Need& need : nominal_brew(brew, items).needs) {
            const Allotment allotment = reserve(lots, need.item, need.amount, brew.date);
            promise(lots, allotment.taken);
            const bool is_weighed_again =
                need.kind == ItemKind::malt || need.kind == ItemKind::hop; // salts come by the gram
            for (const TakenLot& taken : allotment.taken)
                if (is_weighed_again) touched[taken.lot] = {brew.code, weighing_of(need.kind, brew.brewhouse).crumb_kg};
            if (allotment.missing.units <= 0) continue;
            Shortage shortage{brew.code,
                              brew.date,
                              need.line,
                              need.item,
                              need.amount,
                              {need.amount.measure, 0},
                              allotment.missing,
                              allotment.passed_over,
                              {}};
            take_from_orders(shortage, incoming);
            if (shortage.missing.units > 0) out.lines.push_back(std::move(shortage));
        }
    for (const LotState& state : lots) {
        const auto found = touched.find(state.lot.code);
        const Amount left = state.free();
        if (found == touched.end() || left.measure != Measure::mass || left.units <= 0) continue;
        if (left < Amount::of(Kilograms(found->second.crumb_kg)))
            out.crumbs.push_back({found->second.brew, state.lot.code, left});
    }
    return out;
}

} // namespace lotwort::plan
