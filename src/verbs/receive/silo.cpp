#include "silo.hpp"
#include "stock/lot_share.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/desk/lot_values.hpp>

namespace lotwort::verbs {

namespace {

std::optional<LotState> left_in(const Ledger& ledger, const std::string& silo) {
    for (LotState& state : ledger.lots())
        if (state.lot.silo && lowered(*state.lot.silo) == lowered(silo) && state.on_hand.units > 0) return state;
    return std::nullopt;
}

void demand_same(const LotState& rest, const Lot& delivered) {
    if (rest.lot.item == delivered.item) return;
    throw Error(
        ErrorKind::refused,
        fmt::format("silo {} holds {} of {} ({}), and {} came", *rest.lot.silo, to_text(rest.on_hand), rest.lot.item,
                    rest.lot.code, delivered.item),
        fmt::format("if it was seen empty: lotwort count {} 0kg --reason \"seen empty\"", shell_word(rest.lot.code)));
}

} // namespace

std::string fill_silo(Call& call, Shelf& shelf, Book& part) {
    const auto typed = call.args.text("silo");
    if (!typed) return "";
    if (part.lots.size() != 1)
        throw Error(ErrorKind::refused, fmt::format("{} lots came, and a silo is filled by one", part.lots.size()),
                    "receive what goes into the silo by itself");
    Lot& delivered = part.lots.front();
    const auto rest = left_in(call.ledger(), parse_name(*typed, "silo"));
    if (!rest) {
        delivered.silo = parse_name(*typed, "silo");
        return fmt::format("silo {} holds it", *delivered.silo);
    }
    demand_same(*rest, delivered);
    if (call.on() != call.surroundings.today)
        throw Error(ErrorKind::refused,
                    fmt::format("what was left in silo {} on {} is not known", *rest->lot.silo, to_iso(call.on())),
                    "fill it on the day itself, or receive the lot without --silo");
    LotValues values = values_in(call.ledger());
    const LotState came{delivered, delivered.received_amount, {delivered.received_amount.measure, 0}};
    Lot mixed = put_together(item_of(call.ledger(), rest->lot), {*rest, came}, call.ledger().lots(), call.on(), values);
    mixed.silo = rest->lot.silo;
    shelf.give(delivered.code, delivered.item);
    mixed.code = shelf.free_code(mixed.item);
    shelf.give(mixed.code, mixed.item);
    const std::string said = fmt::format("silo {} holds {} now, as {}: {} of {} and {} of {}", *mixed.silo,
                                         to_text(mixed.received_amount), mixed.code, to_text(rest->on_hand),
                                         rest->lot.code, to_text(delivered.received_amount), delivered.code);
    part.lots.push_back(std::move(mixed));
    return said;
}

} // namespace lotwort::verbs
