#include <lotwort/core/error.hpp>
#include <lotwort/stock/worth.hpp>
#include <set>

namespace lotwort {

Money value_at_cost(Money price, Amount left, Amount received) {
    LOTWORT_CHECK(received.units > 0 && left.measure == received.measure);
    __extension__ using Wide = __int128; // hundredths times milligrams pass 64 bits
    const Wide product = Wide(price.minor) * left.units * 2;
    const Wide half = left.units < 0 ? -Wide(received.units) : Wide(received.units);
    return {static_cast<std::int64_t>((product + half) / (Wide(received.units) * 2))};
}

std::vector<Movement> standing(const std::vector<Movement>& movements) {
    std::set<std::string_view> taken_back;
    for (const Movement& movement : movements)
        if (movement.reverses) taken_back.insert(*movement.reverses);
    std::vector<Movement> left;
    for (const Movement& movement : movements)
        if (!movement.reverses && !(movement.id && taken_back.contains(*movement.id))) left.push_back(movement);
    return left;
}

std::string_view moved_into(const Movement& movement) {
    constexpr std::string_view into = "into ";
    if (movement.kind != MovementKind::move || !movement.reason || !movement.reason->starts_with(into)) return {};
    return std::string_view(*movement.reason).substr(into.size());
}

LotValues::LotValues(ReadLot read_lot, ReadMovements read_movements)
    : read_lot_(std::move(read_lot)), read_movements_(std::move(read_movements)) {}

std::optional<Money> LotValues::price(const Lot& lot) {
    if (lot.made_from.empty()) return lot.price;
    const auto [at, is_new] = prices_.try_emplace(lot.code, lot.price); // its own while it is worked out
    if (is_new)
        if (const auto moved = moved_into_it(lot)) prices_[lot.code] = moved;
    return prices_[lot.code];
}

std::optional<Money> LotValues::moved_into_it(const Lot& lot) {
    std::set<std::string> sources;
    for (const Portion& source : lot.made_from) sources.insert(source.lot);
    Money sum;
    for (const std::string& code : sources) {
        const auto source = read_lot_(code);
        if (!source) return std::nullopt;
        for (const Step& step : steps(*source)) {
            if (moved_into(step.movement) != lot.code) continue;
            if (!step.change) return std::nullopt;
            sum.minor -= step.change->minor;
        }
    }
    return sum;
}

const std::vector<LotValues::Step>& LotValues::steps(const Lot& lot) {
    if (const auto known = steps_.find(lot.code); known != steps_.end()) return known->second;
    std::vector<Step> made;
    Amount there{lot.received_amount.measure, 0};
    for (Movement& movement : standing(read_movements_(lot.code))) {
        const auto by = change(lot, there, movement.change);
        there = there + movement.change;
        made.push_back({std::move(movement), by});
    }
    return steps_[lot.code] = std::move(made);
}

std::optional<Money> LotValues::left(const Lot& lot, Amount on_hand) {
    return change(lot, {on_hand.measure, 0}, on_hand);
}

std::optional<Money> LotValues::change(const Lot& lot, Amount there, Amount by) {
    const auto of_all = price(lot);
    if (!of_all) return std::nullopt;
    const Amount all = lot.received_amount;
    return Money{value_at_cost(*of_all, there + by, all).minor - value_at_cost(*of_all, there, all).minor};
}

} // namespace lotwort
