// discard: take spoiled or lost stock out.
#include "receive/order_receipt.hpp"
#include "shared.hpp"
#include "stock/lot_day.hpp"
#include "table.hpp"
#include <fmt/format.h>
#include <lotwort/desk/lot_values.hpp>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/report/movement.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"LOT", "the lot's code"},
    {"AMOUNT", "how much, with its unit, or all"},
};

constexpr Option options[] = {
    {"reason", "TEXT", "why: \"mouldy\", \"spilled\""},
    {"to-supplier", "", "it went back to the supplier, and is booked as a return"},
};

Amount parse_amount_out(const Call& call, const Lot& lot, Amount there) {
    const std::string& typed = call.args.required("AMOUNT");
    const Amount out = typed == "all" ? there : parse_amount_of(lot, typed);
    if (out.units == 0)
        throw Error(ErrorKind::refused, fmt::format("nothing of {} would be taken out", lot.code),
                    fmt::format("write how much; {} is there on {}", to_text(there), to_iso(call.on())));
    return out;
}

void demand_supplier(const Lot& lot) {
    if (lot.supplier) return;
    throw Error(ErrorKind::refused, fmt::format("nobody is known to have supplied {}", lot.code),
                "discard it without --to-supplier, and say in the reason where it went");
}

Answer run(Call& call) {
    Ledger& ledger = call.ledger();
    const LotState state = known_lot(ledger, call.args.required("LOT"));
    demand_arrived(state.lot, call.on());
    const Amount there = on_hand_at(ledger.movements(state.lot.code), state.on_hand.measure, call.on());
    const Amount out = parse_amount_out(call, state.lot, there);
    if (!call.args.has("reason"))
        throw Error(ErrorKind::refused, fmt::format("why is {} of {} taken out?", to_text(out), state.lot.code),
                    "add --reason \"mouldy\"");
    const std::string when = call.on() == call.surroundings.today ? "" : " on " + to_iso(call.on());
    if (there < out) refuse_shortage(ledger, state.lot, out, there, when);
    Movement movement;
    movement.on = call.on();
    movement.lot = state.lot.code;
    const bool returned = call.args.has("to-supplier");
    if (returned) demand_supplier(state.lot);
    movement.kind = returned ? MovementKind::return_to_supplier : MovementKind::discard;
    movement.change = -out;
    movement.reason = parse_name(call.args.required("reason"), "reason");
    const auto worth = values_in(ledger).change(state.lot, there, -out);
    Book part;
    part.movements.push_back(movement);
    const auto what = returned ? fmt::format("returned {} of {} to {}: {}", to_text(out), state.lot.code,
                                             *state.lot.supplier, *movement.reason)
                               : fmt::format("discarded {} of {}: {}", to_text(out), state.lot.code, *movement.reason);
    const auto lost = promises_lost(call.desk(), part);
    std::vector<std::string> says;
    if (returned) says = awaited_again(ledger.definitions(), ledger.lots(), state.lot.code, out);
    const auto entry = call.book(part, returned ? EntryKind::return_to_supplier : EntryKind::discard, what);
    report::StockChange change{
        state.lot, there, movement, state.promised, {entry, call.dry_run(), "lotwort stock --lots", lost}};
    change.currency = ledger.currency();
    if (worth) change.worth = Money{-worth->minor};
    change.booked.says = std::move(says);
    return {call.json() ? report::discard_json(change) : report::discard_text(change)};
}

} // namespace

constinit const Command discard_command{
    .name = "discard",
    .group = Group::stock,
    .summary = "take spoiled or lost stock out, with the reason",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .back_dates = true,
    .run = run,
};

} // namespace lotwort::verbs
