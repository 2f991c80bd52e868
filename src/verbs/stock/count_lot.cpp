#include "count_lot.hpp"
#include "lot_day.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/desk/lot_values.hpp>
#include <lotwort/desk/stock_day.hpp>

namespace lotwort::verbs {

namespace {

void doubt(const Call& call, const LotCount& count) {
    const Lot& lot = count.state.lot;
    const Amount most = std::max(lot.received_amount, count.booked);
    call.believe(count.counted.units <= most.units + most.units / 2, // a sack is not weighed wrong by half
                 fmt::format("{} of {} counted, and only {} of it ever came", to_text(count.counted), lot.code,
                             to_text(lot.received_amount)),
                 "look at the unit, and at the lot on the sack; what came besides is received as a lot of its own");
}

} // namespace

LotCount read_count(Call& call, const std::string& code, const std::string& amount) {
    Ledger& ledger = call.ledger();
    const Date on = call.on();
    LotCount count{known_lot(ledger, code), {}, {}};
    demand_arrived(count.state.lot, on);
    count.counted = parse_amount_of(count.state.lot, amount);
    count.booked = on_hand_at(ledger.movements(count.state.lot.code), count.counted.measure, on);
    doubt(call, count);
    return count;
}

std::string difference_text(const LotCount& count) {
    return fmt::format("{} of {} counted where {} is booked", to_text(count.counted), count.state.lot.code,
                       to_text(count.booked));
}

std::string tolerated(const Call& call, const LotCount& count) {
    const auto tolerance = read_option(call, "tolerance", [](const std::string& text) {
        return parse_percent(text, {0.0, 10.0});
    });
    const double off = std::abs(static_cast<double>(count.difference().units));
    if (!tolerance || off > tolerance->value() / 100.0 * static_cast<double>(count.booked.units)) return {};
    return fmt::format("within the tolerance of {} %", shortest(tolerance->value()));
}

std::optional<Money> worth_of(Ledger& ledger, const LotCount& count) {
    if (count.difference().units == 0) return std::nullopt;
    return values_in(ledger).change(count.state.lot, count.booked, count.difference());
}

} // namespace lotwort::verbs
