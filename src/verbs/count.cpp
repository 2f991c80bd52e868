// count: what the scale says against what is booked.
#include "stock/count_lot.hpp"
#include "stock/count_sheet.hpp"
#include "table.hpp"
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <lotwort/core/format.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/report/movement.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"LOT", "the lot's code", true},
    {"AMOUNT", "all of it that is there, with its unit: 24.2kg", true},
};

constexpr Option options[] = {
    {"reason", "TEXT", "why it differs: \"spilled\", \"weighed short\""},
    {"tolerance", "PERCENT", "of what is booked: a difference within it needs no reason"},
    {"from", "FILE", "book a sheet that has been filled in: the CSV of --sheet --csv; - for standard input"},
    {"sheet", "", "print the sheet to fill in, and book nothing"},
    {"moisture", "PERCENT", "of the malt now: what it drew from the air in store is the reason, as far as it goes"},
};

// A difference without a reason teaches nobody anything: it is asked for, at a terminal or by refusal.
std::string parse_reason(const Call& call, const LotCount& count) {
    if (const auto reason = call.args.text("reason")) return parse_name(*reason, "reason");
    const std::string differs = difference_text(count);
    if (call.surroundings.ask)
        if (const auto typed = call.surroundings.ask(differs + "; why? "); typed && !typed->empty())
            return parse_name(*typed, "reason");
    throw Error(ErrorKind::refused, differs,
                count.counted < count.booked ? "say why: add --reason \"spilled\""
                                             : "say why: add --reason \"weighed short when it came\"");
}

// Of a count that needs none it is kept all the same; empty where there is none.
std::string reason_given(const Call& call) {
    const auto reason = call.args.text("reason");
    return reason ? parse_name(*reason, "reason") : "";
}

// Dry matter stays: what weighed m at a moisture of w now weighs m (1 - w) / (1 - w').
struct Moistened {
    Percent then;
    Percent now;
    Amount gain; // of what is booked, by moisture alone
};

std::optional<Moistened> parse_moisture(Call& call, const LotCount& count) {
    const auto now = read_option(call, "moisture", [](const std::string& text) {
        return parse_percent(text, range_of<Certificate>("moisture_pct"));
    });
    if (!now) return std::nullopt;
    const Lot& lot = count.state.lot;
    const Item item = item_of(call.ledger(), lot);
    if (item.kind != ItemKind::malt || count.booked.measure != Measure::mass)
        throw Error(ErrorKind::refused, fmt::format("{} is no malt, and has no moisture of a malt", item.name),
                    "leave --moisture out");
    const Percent then(malt_figures(item, lot, call.on()).moisture_pct.value);
    const double ratio = (100.0 - then.value()) / (100.0 - now->value());
    const auto mass = std::llround(static_cast<double>(count.booked.units) * ratio);
    return Moistened{then, *now, Amount{Measure::mass, mass - count.booked.units}};
}

std::string moisture_reason(const Moistened& m) {
    return fmt::format("moisture {} % to {} % in store, {} {} by it", readable(m.then.value()), readable(m.now.value()),
                       to_text(m.gain.units < 0 ? -m.gain : m.gain), m.gain.units < 0 ? "lost" : "gained");
}

// The part of the difference that moisture explains needs no other reason, if the scale's last digits are let be.
std::string reason_with_moisture(const Call& call, const LotCount& count, const Moistened& m) {
    const Amount rest = count.difference() - m.gain;
    const auto slack = std::max<std::int64_t>(10'000, count.booked.units / 1000); // 10 g, or a thousandth
    if (std::abs(rest.units) <= slack) {
        const std::string besides = reason_given(call);
        return moisture_reason(m) + (besides.empty() ? "" : "; " + besides);
    }
    const std::string left =
        fmt::format("{} {}", to_text(rest.units < 0 ? -rest : rest), rest.units < 0 ? "short" : "over");
    if (const auto reason = call.args.text("reason"))
        return fmt::format("{}; {} besides: {}", moisture_reason(m), left, parse_name(*reason, "reason"));
    throw Error(ErrorKind::refused,
                fmt::format("{} of {}: {}, and {} besides", to_text(count.counted), count.state.lot.code,
                            moisture_reason(m), left),
                "say why the rest differs: add --reason");
}

std::string what(const LotCount& count) {
    const Amount difference = count.difference();
    const std::string& code = count.state.lot.code;
    if (difference.units == 0)
        return fmt::format("counted {} of {}, as booked{}{}", to_text(count.counted), code,
                           count.reason.empty() ? "" : ": ", count.reason);
    return fmt::format("counted {} of {}, {} {}: {}", to_text(count.counted), code,
                       to_text(difference.units < 0 ? -difference : difference),
                       difference.units < 0 ? "short" : "over", count.reason);
}

std::string reason_or_tolerance(const Call& call, const LotCount& count) {
    const std::string within = call.args.has("reason") ? "" : tolerated(call, count);
    return within.empty() ? parse_reason(call, count) : within;
}

Answer sheet(Call& call) {
    if (call.json())
        throw Error(ErrorKind::usage, "the sheet is for paper",
                    "lotwort stock --lots --json has the same, or add --csv");
    call.only_reads();
    call.goes("the sheet is of all that is on hand", "lotwort count LOT AMOUNT books a count");
    std::vector<StockRow> rows = rows_at(call.ledger(), call.on());
    std::erase_if(rows, [](const StockRow& row) { return row.on_hand.units == 0; });
    return {call.csv() ? report::count_sheet_csv(rows) : report::count_sheet(rows, call.on())};
}

Book book_of(const Call& call, const LotCount& count, const std::optional<Moistened>& moistened) {
    Book part;
    Movement& movement = part.movements.emplace_back();
    movement.on = call.on();
    movement.lot = count.state.lot.code;
    movement.kind = MovementKind::count;
    movement.change = count.difference();
    if (!count.reason.empty()) movement.reason = count.reason;
    if (moistened) {
        part.lots.push_back(count.state.lot);
        part.lots.back().retests.emplace_back().on = call.on();
        part.lots.back().retests.back().found.moisture = moistened->now;
    }
    return part;
}

Answer run(Call& call) {
    if (const auto file = call.args.text("from")) return count_from_sheet(call, *file);
    if (call.args.has("sheet")) return sheet(call);
    for (const auto& positional : call.command().positionals)
        if (!call.args.has(positional.name))
            throw Error(ErrorKind::usage, fmt::format("{} is missing: {}", positional.name, positional.what),
                        "write: lotwort count LOT AMOUNT; lotwort count --sheet prints what to fill in");
    Ledger& ledger = call.ledger();
    LotCount count = read_count(call, call.args.required("LOT"), call.args.required("AMOUNT"));
    call.goes("it says nothing of this count", "leave it out");
    const auto moistened = parse_moisture(call, count);
    if (moistened)
        count.reason = reason_with_moisture(call, count, *moistened);
    else if (count.difference().units != 0)
        count.reason = reason_or_tolerance(call, count);
    else {
        count.reason = reason_given(call);
        (void)tolerated(call, count); // it may stand with every count
    }
    const Book part = book_of(call, count, moistened);
    const auto worth = worth_of(ledger, count);
    const auto lost = promises_lost(call.desk(), part);
    const auto entry = call.book(part, EntryKind::count, what(count));
    report::StockChange change{count.state.lot,
                               count.booked,
                               part.movements.front(),
                               count.state.promised,
                               {entry, call.dry_run(), "lotwort lot " + shell_word(count.state.lot.code), lost}};
    if (worth) {
        change.worth = Money{std::abs(worth->minor)};
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
    .doubts = true,
    .run = run,
};

} // namespace lotwort::verbs
