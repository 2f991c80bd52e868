// lot: one lot whole; with --retest, a later laboratory value of it.
#include "lot_day.hpp"
#include "shared.hpp"
#include "stock_list.hpp"
#include "verbs.hpp"
#include <fmt/format.h>
#include <lotwort/report/lot.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"LOT", "the lot's code"},
};

constexpr std::array<Option, 1> own_options{{
    {"retest", "", "add what a laboratory found later; the values follow as a certificate's options"},
}};
constexpr auto options = joined(own_options, certificate_options);

std::optional<Retest> parse_retest(const Call& call, const Lot& lot) {
    const auto found = parse_certificate(call);
    if (!call.args.has("retest")) {
        if (found)
            throw Error(ErrorKind::refused, "a certificate is never changed, and --retest is missing",
                        fmt::format("lotwort lot {} --retest --moisture 5.1% adds a later value beside it", lot.code));
        return std::nullopt;
    }
    if (!found)
        throw Error(ErrorKind::refused, "a retest without a value",
                    fmt::format("say what was found: lotwort lot {} --retest --moisture 5.1%", lot.code));
    demand_arrived(lot, call.on());
    return Retest{call.on(), *found};
}

report::LotAnswer answer_for(Call& call, const LotState& state) {
    Ledger& ledger = call.ledger();
    report::LotAnswer answer;
    answer.state = state;
    answer.item = known_item(ledger.definitions(), state.lot.item);
    answer.movements = ledger.movements(state.lot.code);
    answer.currency = ledger.currency();
    const Date today = call.surroundings.today;
    if (answer.item.kind == ItemKind::malt || answer.item.kind == ItemKind::sugar)
        answer.malt = malt_figures(answer.item, state.lot, today);
    if (answer.item.kind == ItemKind::hop) answer.hop = hop_age(answer.item, state.lot, today);
    if (state.lot.price) answer.value = value_at_cost(*state.lot.price, state.on_hand, state.lot.received_amount);
    return answer;
}

Answer run(Call& call) {
    if (!call.args.has("retest")) call.only_reads();
    LotState state = known_lot(call.ledger(), call.args.required("LOT"));
    const auto retest = parse_retest(call, state.lot);
    std::optional<report::Booked> booked;
    if (retest) {
        state.lot.retests.push_back(*retest);
        Book part;
        part.lots.push_back(state.lot);
        const auto entry = call.book(part, EntryKind::retest, fmt::format("retested {}", state.lot.code));
        booked = {entry, call.dry_run(), fmt::format("lotwort lot {}", state.lot.code)};
    }
    auto answer = answer_for(call, state);
    answer.booked = booked;
    if (call.csv()) return {report::lot_csv(answer)};
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

} // namespace lotwort::cli
