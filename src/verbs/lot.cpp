// lot: one lot whole; with --retest, a later laboratory value of it.
#include "receive/delivery.hpp"
#include "receive/shelf.hpp"
#include "shared.hpp"
#include "stock/lot_day.hpp"
#include "stock/lot_share.hpp"
#include "table.hpp"
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/lot_answer.hpp>
#include <lotwort/desk/lot_values.hpp>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/report/lot.hpp>
#include <lotwort/report/text.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"LOT", "the lot's code"},
};

constexpr std::array<Option, 5> own_options{{
    {"split", "AMOUNT", "share so much of it out into a lot of its own; once for each", true},
    {"merge", "LOT", "put all that is left of it and of this other lot together into a new one", true},
    {"as", "CODE", "of the new lot, where there is one; else the next free one"},
    {"open", "", "its pack was opened on the day: from then on a hop in it ages as in a plain bag"},
    {"retest", "", "add what a laboratory found later; the values follow as a certificate's options"},
}};
constexpr auto options = joined(own_options, certificate_options);

std::optional<Retest> parse_retest(Call& call, const Lot& lot) {
    const auto found = parse_certificate(call);
    if (!call.args.has("retest")) {
        if (found)
            throw Error(ErrorKind::refused, "a certificate is never changed, and --retest is missing",
                        "add --retest, and a later value stands beside it");
        return std::nullopt;
    }
    if (!found)
        throw Error(ErrorKind::refused, "a retest without a value", "say what was found, such as --moisture 5.1%");
    demand_arrived(lot, call.on());
    demand_fitting(item_of(call.ledger(), lot), found);
    return Retest{call.on(), *found};
}

// What no malt of its moisture can hold would stand in the way of every later answer about the lot.
void demand_possible(Call& call, const Lot& lot) {
    const Item item = item_of(call.ledger(), lot);
    if (item.kind != ItemKind::malt && item.kind != ItemKind::sugar) return;
    try {
        (void)malt_figures(item, lot, call.on());
    } catch (const Error& fault) {
        throw of_option("extract", fault);
    }
}

// Codes for new lots of an item: what --as says, or the next ones that are free.
void give_codes(Call& call, std::vector<Lot>& lots) {
    Shelf shelf(call.ledger());
    const auto as = call.args.text("as");
    if (as && lots.size() > 1)
        throw Error(ErrorKind::refused, "--as names one lot, and several would be made", "leave --as out");
    for (Lot& lot : lots) {
        lot.code = as ? parse_name(*as, "lot code") : shelf.free_code(lot.item);
        if (as && shelf.lot(lot.code))
            throw Error(ErrorKind::refused, fmt::format("there is a lot {} already", lot.code),
                        "give the new lot another code, or leave --as out");
        shelf.give(lot.code, lot.item);
    }
}

// A price that is not known of one part is not known of the whole.
std::vector<std::string> worth_left_out(const std::vector<LotState>& states, const Lot& whole, LotValues& values,
                                        const std::string& currency) {
    if (whole.price) return {};
    Money left;
    std::vector<std::string> unknown;
    for (const LotState& state : states)
        if (const auto worth = values.left(state.lot, state.on_hand))
            left.minor += worth->minor;
        else
            unknown.push_back(state.lot.code);
    if (left.minor == 0) return {};
    return {fmt::format("{} has no price, for {} has none: {} are left out of what the stock is worth", whole.code,
                        fmt::join(unknown, ", "), report::money_text(left, currency))};
}

Answer shared(Call& call, const LotState& state) {
    if (call.args.has("split") && call.args.has("merge"))
        throw Error(ErrorKind::usage, "--split and --merge are two steps", "write one of them, then the other");
    if (call.on() != call.surroundings.today)
        throw Error(ErrorKind::refused, "lots are shared out and put together on the day it is done, not back-dated",
                    "leave --on out");
    Book part;
    std::string what;
    std::vector<std::string> says;
    LotValues values = values_in(call.ledger());
    const bool is_yeast = item_of(call.ledger(), state.lot).kind == ItemKind::yeast;
    if (call.args.has("split")) {
        part.lots = share_out(
            state, read_each(call, "split", [&](const std::string& text) { return parse_amount_of(state.lot, text); }),
            call.on(), values);
        give_codes(call, part.lots);
        for (Lot& lot : part.lots)
            if (is_yeast) keep_age(lot, {state});
        for (const Lot& lot : part.lots)
            what += fmt::format("{}{} into {}", what.empty() ? "shared out of " + state.lot.code + ": " : ", ",
                                to_text(lot.received_amount), lot.code);
    } else {
        std::vector<LotState> states{state};
        for (const std::string& code : call.args.all("merge")) {
            states.push_back(known_lot(call.ledger(), code));
            for (std::size_t i = 0; i + 1 < states.size(); ++i)
                if (states[i].lot.code == states.back().lot.code)
                    throw Error(ErrorKind::refused, fmt::format("{} is named twice", states.back().lot.code),
                                "name each lot once");
        }
        part.lots.push_back(
            put_together(item_of(call.ledger(), state.lot), states, call.ledger().lots(), call.on(), values));
        if (is_yeast) keep_age(part.lots.front(), states);
        give_codes(call, part.lots);
        for (const LotState& one : states)
            what +=
                fmt::format("{}{} of {}", what.empty() ? "put together " : ", ", to_text(one.on_hand), one.lot.code);
        what += " as " + part.lots.front().code;
        says = worth_left_out(states, part.lots.front(), values, call.ledger().currency());
    }
    const auto lost = promises_lost(call.desk(), part);
    const auto entry = call.book(part, EntryKind::split, what);
    const report::Booked booked{entry, call.dry_run(), "lotwort trace " + shell_word(part.lots.front().code), lost,
                                says};
    return {call.json() ? report::booked_json(booked) : report::booked_line(booked)};
}

// The newest entry that opened it.
std::string opening_of(Call& call, const std::string& lot) {
    HistoryFilter openings;
    openings.last = 1;
    openings.kind = EntryKind::open;
    openings.lot = lot;
    const auto found = call.ledger().history(openings);
    return found.empty() ? "ENTRY" : std::to_string(found.front().number);
}

Answer opened(Call& call, LotState state) {
    demand_arrived(state.lot, call.on());
    if (state.lot.opened)
        throw Error(
            ErrorKind::refused, fmt::format("{} was opened on {}", state.lot.code, to_iso(*state.lot.opened)),
            fmt::format("lotwort reverse {} takes that back, if it was another day", opening_of(call, state.lot.code)));
    state.lot.opened = call.on();
    Book part;
    part.lots.push_back(state.lot);
    const auto entry = call.book(part, EntryKind::open, fmt::format("opened {}", state.lot.code));
    const report::Booked booked{entry, call.dry_run(), "lotwort lot " + shell_word(state.lot.code)};
    return {call.json() ? report::booked_json(booked) : report::booked_line(booked)};
}

Answer run(Call& call) {
    const bool shares = call.args.has("split") || call.args.has("merge");
    if (!call.args.has("retest") && !call.args.has("open") && !shares) call.only_reads();
    LotState state = known_lot(call.ledger(), call.args.required("LOT"));
    if (call.args.has("as") && !shares)
        throw Error(ErrorKind::usage, "--as names a new lot, and none is made", "add --split AMOUNT, or --merge LOT");
    if (static_cast<int>(call.args.has("retest")) + static_cast<int>(call.args.has("open")) + static_cast<int>(shares) >
        1)
        throw Error(ErrorKind::usage, "--retest, --open and --split or --merge are entries of their own",
                    "write one of them");
    if (shares) {
        call.goes("lots are shared out and put together as they are",
                  fmt::format("lotwort lot {} --retest adds a laboratory value", state.lot.code));
        return shared(call, state);
    }
    if (call.args.has("open")) {
        call.goes("an opened pack keeps its certificate",
                  fmt::format("lotwort lot {} --retest adds a laboratory value", state.lot.code));
        return opened(call, state);
    }
    const bool csv = call.csv();
    const auto retest = parse_retest(call, state.lot);
    std::optional<report::Booked> booked;
    if (retest) {
        if (std::ranges::find(state.lot.retests, *retest) != state.lot.retests.end())
            throw Error(ErrorKind::refused, fmt::format("{} has this very retest already", state.lot.code),
                        fmt::format("lotwort lot {} shows it; another day is said with --on", state.lot.code));
        state.lot.retests.push_back(*retest);
        if (retest->found.extract) demand_possible(call, state.lot);
        Book part;
        part.lots.push_back(state.lot);
        const auto entry = call.book(part, EntryKind::retest, fmt::format("retested {}", state.lot.code));
        booked = {entry, call.dry_run(), "lotwort lot " + shell_word(state.lot.code)};
    }
    auto answer = lot_answer(call.desk(), state, retest ? call.surroundings.today : call.on());
    answer.booked = booked;
    if (csv) return {report::lot_csv(answer)};
    return {call.json() ? report::lot_json(answer) : report::lot_text(answer)};
}

} // namespace

constinit const Command lot_command{
    .name = "lot",
    .group = Group::stock,
    .summary = "one lot whole: certificate, retests, balance, movements",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .back_dates = true,
    .has_rows = true,
    .run = run,
};

} // namespace lotwort::verbs
