#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/order_rest.hpp>
#include <lotwort/stock/share.hpp>
#include <map>
#include <numeric>

namespace lotwort {

namespace {

template <class Record>
std::optional<Amount> pack_in(const Record& record) {
    if (record.pack) return Amount::of(*record.pack);
    if (record.pack_volume) return Amount::of(*record.pack_volume);
    if (record.pack_count) return Amount::pieces(*record.pack_count);
    return std::nullopt;
}

// Of lots of the order alone, as they came or made of these.
bool is_of(const Order& order, const LotState& state, const std::vector<LotState>& lots) {
    if (std::ranges::find(order.received, state.lot.code) != order.received.end()) return true;
    return !state.lot.made_from.empty() && std::ranges::all_of(state.lot.made_from, [&](const Portion& part) {
        const auto source = std::ranges::find(lots, part.lot, [](const LotState& other) { return other.lot.code; });
        return source != lots.end() && is_of(order, *source, lots);
    });
}

using Came = std::map<std::pair<std::string, Measure>, std::int64_t>;

Came came_of(const Order& order, const std::vector<LotState>& lots) {
    Came came;
    for (const std::string& code : order.received)
        for (const LotState& state : lots)
            if (state.lot.code == code)
                came[{state.lot.item, state.lot.received_amount.measure}] += state.lot.received_amount.units;
    if (came.empty()) return came;
    for (const LotState& state : lots)
        if (state.returned > 0 && is_of(order, state, lots))
            came[{state.lot.item, state.lot.received_amount.measure}] -= state.returned;
    return came;
}

} // namespace

std::optional<Amount> pack_of(const Offer& offer) {
    return pack_in(offer);
}

std::optional<Amount> pack_of(const OrderLine& line) {
    return pack_in(line);
}

std::vector<OrderRest> rest_of(const Order& order, const std::vector<LotState>& lots) {
    Came came = came_of(order, lots);
    std::vector<OrderRest> all;
    for (std::size_t l = 0; l < order.lines.size(); ++l) {
        const auto pack = pack_of(order.lines[l]);
        if (!pack) continue;
        OrderRest rest{l, {pack->measure, pack->units * order.lines[l].packs}, {pack->measure, 0}, {pack->measure, 0}};
        auto& left = came[{order.lines[l].item, pack->measure}];
        // the last line of an item takes all that came beyond it
        const bool last = std::none_of(order.lines.begin() + static_cast<std::ptrdiff_t>(l) + 1, order.lines.end(),
                                       [&](const OrderLine& other) { return other.item == order.lines[l].item; });
        rest.received.units = last ? left : std::min(left, rest.ordered.units);
        left -= rest.received.units;
        if (!order.closed) rest.awaited.units = std::max<std::int64_t>(0, rest.ordered.units - rest.received.units);
        all.push_back(rest);
    }
    return all;
}

std::vector<Money> landed_costs(const Order& order) {
    std::vector<std::int64_t> costs, weights;
    for (const OrderLine& line : order.lines) {
        costs.push_back(line.cost.minor);
        weights.push_back(line.cost.minor);
        if (order.shared_by != SharedBy::mass) continue;
        if (!line.pack)
            throw Error(ErrorKind::refused,
                        fmt::format("order {} shares by mass, and {} is not bought by mass", order.code, line.item),
                        "share by value: --share value");
        weights.back() = Amount::of(*line.pack).units * line.packs;
    }
    const std::int64_t all = std::reduce(costs.begin(), costs.end()), off = order.discount.value_or(Money{}).minor;
    if (all < off)
        throw Error(ErrorKind::refused, fmt::format("order {} has a discount that is more than its goods", order.code),
                    "look at --discount");
    // what is taken off goes by value: no line costs less than nothing by it
    const auto less = shared_out(off, costs);
    const auto more = shared_out(order.freight.value_or(Money{}).minor, weights);
    std::vector<Money> landed;
    for (std::size_t i = 0; i < costs.size(); ++i) landed.push_back(Money{costs[i] - less[i] + more[i]});
    return landed;
}

std::map<std::string, Money> freight_billed_after(const Order& order,
                                                  const std::function<std::optional<Lot>(const std::string&)>& lot) {
    std::map<std::string, Money> parts;
    if (!order.freight_after) return parts;
    std::vector<std::string> codes;
    std::vector<std::int64_t> weights;
    for (const std::string& code : order.received) {
        const auto came = lot(code);
        if (!came) continue;
        codes.push_back(code);
        weights.push_back(order.shared_by == SharedBy::mass ? came->received_amount.units
                                                            : came->price.value_or(Money{}).minor);
    }
    if (std::ranges::all_of(weights, [](std::int64_t weight) { return weight == 0; }))
        std::ranges::fill(weights, 1); // of goods that cost nothing each bears as much
    const auto shares = shared_out(order.freight_after->minor, weights);
    for (std::size_t i = 0; i < codes.size(); ++i) parts[codes[i]] = Money{shares[i]};
    return parts;
}

bool is_open(const Order& order, const std::vector<LotState>& lots) {
    if (order.closed) return false;
    const auto rests = rest_of(order, lots);
    if (rests.empty()) return order.received.empty();
    return std::ranges::any_of(rests, [](const OrderRest& rest) { return rest.awaited.units > 0; });
}

} // namespace lotwort
