// count: what the scale says against what is booked.
#include "lot_day.hpp"
#include "shared.hpp"
#include "stock_list.hpp"
#include "verbs.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/report/movement.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"LOT", "the lot's code", true},
    {"AMOUNT", "all of it that is there, with its unit: 24.2kg", true},
};

constexpr Option options[] = {
    {"reason", "TEXT", "why it differs: \"spilled\", \"weighed short\""},
    {"tolerance", "PERCENT", "of what is booked: a difference within it needs no reason"},
    {"sheet", "", "print the sheet to fill in, and book nothing"},
    {"moisture", "PERCENT", "of the malt now: what it drew from the air in store is the reason, as far as it goes"},
};

// A difference without a reason teaches nobody anything: it is asked for, at a terminal or by refusal.
std::string parse_reason(const Call& call, const Lot& lot, Amount counted, Amount booked) {
    if (const auto reason = call.args.text("reason")) return parse_name(*reason, "reason");
    const std::string differs =
        fmt::format("{} of {} counted where {} is booked", to_text(counted), lot.code, to_text(booked));
    if (call.surroundings.ask)
        if (const auto typed = call.surroundings.ask(differs + "; why? ")) return parse_name(*typed, "reason");
    throw Error(ErrorKind::refused, differs,
                counted < booked ? "say why: add --reason \"spilled\""
                                 : "say why: add --reason \"weighed short when it came\"");
}

// A slip of the unit or of the lot: nobody finds ten times what ever came.
void demand_believable(const Lot& lot, Amount counted, Amount booked) {
    const Amount most = std::max(lot.received_amount, booked);
    if (counted.units / 10 <= most.units) return;
    throw Error(ErrorKind::refused,
                fmt::format("{} of {} counted, and only {} of it ever came", to_text(counted), lot.code,
                            to_text(lot.received_amount)),
                "look at the unit, and at the lot on the sack");
}

// Dry matter stays: what weighed m at a moisture of w now weighs m (1 - w) / (1 - w').
struct Moistened {
    Percent then;
    Percent now;
    Amount gain; // of what is booked, by moisture alone
};

std::optional<Moistened> parse_moisture(Call& call, const LotState& state, Amount booked) {
    const auto now = read_option(call, "moisture", [](const std::string& text) {
        return parse_percent(text, range_of<Certificate>("moisture_pct"));
    });
    if (!now) return std::nullopt;
    const Item& item = known_item(call.ledger().definitions(), state.lot.item);
    if (item.kind != ItemKind::malt || booked.measure != Measure::mass)
        throw Error(ErrorKind::refused, fmt::format("{} is no malt, and has no moisture of a malt", item.name),
                    "leave --moisture out");
    const Percent then(malt_figures(item, state.lot, call.on()).moisture_pct.value);
    const double ratio = (100.0 - then.value()) / (100.0 - now->value());
    const auto mass = std::llround(static_cast<double>(booked.units) * ratio);
    return Moistened{then, *now, Amount{Measure::mass, mass - booked.units}};
}

std::string moisture_reason(const Moistened& m) {
    return fmt::format("moisture {} % to {} % in store, {} {} by it", shortest(m.then.value()), shortest(m.now.value()),
                       to_text(m.gain.units < 0 ? -m.gain : m.gain), m.gain.units < 0 ? "lost" : "gained");
}

// The part of the difference that moisture explains needs no other reason, if the scale's last digits are let be.
std::string reason_with_moisture(const Call& call, const Lot& lot, Amount counted, Amount booked, const Moistened& m) {
    const Amount rest = counted - booked - m.gain;
    const auto slack = std::max<std::int64_t>(10'000, booked.units / 1000); // 10 g, or a thousandth
    if (std::abs(rest.units) <= slack) return moisture_reason(m);
    const std::string left =
        fmt::format("{} {}", to_text(rest.units < 0 ? -rest : rest), rest.units < 0 ? "short" : "over");
    if (const auto reason = call.args.text("reason"))
        return fmt::format("{}; {} besides: {}", moisture_reason(m), left, parse_name(*reason, "reason"));
    throw Error(ErrorKind::refused,
                fmt::format("{} of {}: {}, and {} besides", to_text(counted), lot.code, moisture_reason(m), left),
                "say why the rest differs: add --reason");
}

std::string what(const Lot& lot, Amount counted, const Movement& movement) {
    const Amount difference = movement.change;
    if (difference.units == 0) return fmt::format("counted {} of {}, as booked", to_text(counted), lot.code);
    return fmt::format("counted {} of {}, {} {}: {}", to_text(counted), lot.code,
                       to_text(difference.units < 0 ? -difference : difference),
                       difference.units < 0 ? "short" : "over", movement.reason.value_or(""));
}

// Within what the scale and the sack may do, a difference is booked without a question.
std::string reason_or_tolerance(const Call& call, const Lot& lot, Amount counted, Amount booked) {
    const auto tolerance = read_option(call, "tolerance", [](const std::string& text) {
        return parse_percent(text, {0.0, 10.0});
    });
    const double off = std::abs(static_cast<double>((counted - booked).units));
    if (tolerance && !call.args.has("reason") && off <= tolerance->value() / 100.0 * static_cast<double>(booked.units))
        return fmt::format("within the tolerance of {} %", shortest(tolerance->value()));
    return parse_reason(call, lot, counted, booked);
}

Answer sheet(Call& call) {
    if (call.json())
        throw Error(ErrorKind::usage, "the sheet is for paper",
                    "lotwort stock --lots --json has the same, or add --csv");
    call.only_reads();
    std::vector<StockRow> rows = call.ledger().stock();
    std::erase_if(rows, [](const StockRow& row) { return row.on_hand.units == 0; });
    return {call.csv() ? report::count_sheet_csv(rows) : report::count_sheet(rows, call.surroundings.today)};
}

Answer run(Call& call) {
    if (call.args.has("sheet")) return sheet(call);
    for (const auto& positional : call.command().positionals)
        if (!call.args.has(positional.name))
            throw Error(ErrorKind::usage, fmt::format("{} is missing: {}", positional.name, positional.what),
                        "write: lotwort count LOT AMOUNT; lotwort count --sheet prints what to fill in");
    Ledger& ledger = call.ledger();
    const LotState state = known_lot(ledger, call.args.required("LOT"));
    demand_arrived(state.lot, call.on());
    const Amount counted = parse_amount_of(state.lot, call.args.required("AMOUNT"));
    const Amount booked = on_hand_at(ledger.movements(state.lot.code), counted.measure, call.on());
    demand_believable(state.lot, counted, booked);
    const auto moistened = parse_moisture(call, state, booked);
    Movement movement;
    movement.on = call.on();
    movement.lot = state.lot.code;
    movement.kind = MovementKind::count;
    movement.change = counted - booked;
    if (moistened)
        movement.reason = reason_with_moisture(call, state.lot, counted, booked, *moistened);
    else if (movement.change.units != 0)
        movement.reason = reason_or_tolerance(call, state.lot, counted, booked);
    Book part;
    part.movements.push_back(movement);
    if (moistened) {
        part.lots.push_back(state.lot);
        part.lots.back().retests.emplace_back().on = call.on();
        part.lots.back().retests.back().found.moisture = moistened->now;
    }
    const auto entry = call.book(part, EntryKind::count, what(state.lot, counted, movement));
    report::StockChange change{state.lot,
                               booked,
                               movement,
                               state.promised,
                               {entry, call.dry_run(), fmt::format("lotwort lot {}", state.lot.code)}};
    if (state.lot.price && movement.change.units != 0) {
        const Amount off = movement.change.units < 0 ? -movement.change : movement.change;
        change.worth = value_at_cost(*state.lot.price, off, state.lot.received_amount);
        change.currency = ledger.currency();
    }
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
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::cli
