// count: what the scale says against what is booked.
#include "lot_day.hpp"
#include "shared.hpp"
#include "verbs.hpp"
#include <fmt/format.h>
#include <lotwort/report/movement.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"LOT", "the lot's code"},
    {"AMOUNT", "all of it that is there, with its unit: 24.2kg"},
};

constexpr Option options[] = {
    {"reason", "TEXT", "why it differs: \"spilled\", \"weighed short\""},
};

// A difference without a reason teaches nobody anything: it is asked for, at a terminal or by refusal.
std::string parse_reason(const Call& call, const Lot& lot, Amount counted, Amount booked) {
    if (const auto reason = call.args.text("reason")) return parse_name(*reason, "reason");
    const std::string differs =
        fmt::format("{} of {} counted where {} is booked", to_text(counted), lot.code, to_text(booked));
    if (call.surroundings.ask)
        if (const auto typed = call.surroundings.ask(differs + "; why? ")) return parse_name(*typed, "reason");
    throw Error(ErrorKind::refused, differs, "say why: add --reason \"spilled\"");
}

std::string what(const Lot& lot, Amount counted, const Movement& movement) {
    const Amount difference = movement.change;
    if (difference.units == 0) return fmt::format("counted {} of {}, as booked", to_text(counted), lot.code);
    return fmt::format("counted {} of {}, {} {}: {}", to_text(counted), lot.code,
                       to_text(difference.units < 0 ? -difference : difference),
                       difference.units < 0 ? "short" : "over", movement.reason.value_or(""));
}

Answer run(Call& call) {
    Ledger& ledger = call.ledger();
    const LotState state = known_lot(ledger, call.args.required("LOT"));
    demand_arrived(state.lot, call.on());
    const Amount counted = parse_amount_of(state.lot, call.args.required("AMOUNT"));
    const Amount booked = on_hand_at(ledger.movements(state.lot.code), counted.measure, call.on());
    Movement movement;
    movement.on = call.on();
    movement.lot = state.lot.code;
    movement.kind = MovementKind::count;
    movement.change = counted - booked;
    if (movement.change.units != 0) movement.reason = parse_reason(call, state.lot, counted, booked);
    Book part;
    part.movements.push_back(movement);
    const auto entry = call.book(part, EntryKind::count, what(state.lot, counted, movement));
    const report::StockChange change{state.lot,
                                     booked,
                                     movement,
                                     state.promised,
                                     {entry, call.dry_run(), fmt::format("lotwort lot {}", state.lot.code)}};
    return {call.json() ? report::count_json(change) : report::count_text(change)};
}

} // namespace

constinit const Command count_command{
    .name = "count",
    .group = Group::stock,
    .summary = "enter a stock count; show the variance, ask the reason",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .back_dates = true,
    .run = run,
};

} // namespace lotwort::cli
