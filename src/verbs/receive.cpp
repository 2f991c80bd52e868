// receive: take a delivery into stock as a lot, with its certificate.
#include "doubts.hpp"
#include "receive/delivery.hpp"
#include "receive/note.hpp"
#include "receive/order.hpp"
#include "receive/silo.hpp"
#include "shared.hpp"
#include "table.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/figures.hpp>
#include <lotwort/report/receive.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"ITEM", "what was delivered: \"pale ale malt\"", true},
    {"AMOUNT", "how much, with its unit: 25kg", true},
};

constexpr std::array<Option, 20> own_options{{
    {"lot", "CODE", "your code for the lot; else initials and a number: PAM-1"},
    {"supplier", "NAME", "who delivered it"},
    {"supplier-lot", "CODE", "the supplier's own lot number"},
    {"price", "MONEY", "for the whole lot: 32.50"},
    {"best-before", "DATE", "as printed on the sack"},
    {"crop", "YEAR", "the year of the harvest"},
    {"storage", "TEMPERATURE", "where it is kept: 4C"},
    {"packaging", "WORDS", "how it is packed: vacuum"},
    {"silo", "NAME", "it goes into this silo, over what is left there: what lies in it then is a lot made of both"},
    {"packs", "NUMBER", "it came in so many equal packs, each a lot of its own; AMOUNT is that of one"},
    {"delivery", "FILE", "a delivery note as CSV: a lot for each row, all of them or none"},
    {"columns", "MAP", "of the note: item=HEADING,amount=HEADING,...; columns of those names need no telling"},
    {"again", "", "with --delivery: what was received before came once more"},
    {"from-brew", "BREW", "a yeast that was harvested from this brew; its generation follows"},
    {"packed", "DATE", "of a yeast: the day it was packed; its cells die from then on"},
    {"cells", "CELLS", "of a yeast as packed or harvested: 100billion/pack, 10billion/g or 1.2billion/mL"},
    {"order", "CODE", "it came of this order: O1; without ITEM all that is awaited of it came"},
    {"no-more", "REASON", "with --order: what has not come will not come"},
    {"kind", "KIND", "of an item that is new: malt, sugar, hop, yeast, salt or other"},
    {"class", "CLASS", "of a malt that is new: base, high-kilned, caramel, roasted, wheat, ..."},
}};
constexpr auto options = joined(own_options, certificate_options);

void demand_words(const Call& call) {
    for (const auto& positional : call.command().positionals)
        if (!call.args.has(positional.name))
            throw Error(ErrorKind::usage, fmt::format("{} is missing: {}", positional.name, positional.what),
                        "write: lotwort receive ITEM AMOUNT");
}

// What is worth a look and stops nothing.
std::vector<std::string> remarks_on(const Call& call, const Lot& lot) {
    std::vector<std::string> remarks;
    if (lot.best_before && *lot.best_before < call.surroundings.today)
        remarks.push_back(fmt::format("its best-before date, {}, has passed", to_iso(*lot.best_before)));
    return remarks;
}

// The ledger's items that may be meant; who was asked has said.
std::vector<std::string> near_names(const Call& call, const Shelf& shelf, const NewName& named) {
    if (call.surroundings.ask) return {};
    std::vector<std::string> near = shelf.near(named.name);
    if (!named.near_item.empty() && std::ranges::find(near, named.near_item) == near.end())
        near.insert(near.begin(), named.near_item);
    return near;
}

Answer run(Call& call) {
    if (const auto code = call.args.text("order")) return receive_order(call, *code);
    if (call.args.has("no-more")) throw Error(ErrorKind::usage, "--no-more is of an order", "add --order CODE");
    if (const auto file = call.args.text("delivery")) return receive_note(call, *file);
    for (const char* option : {"columns", "again"})
        if (call.args.has(option))
            throw Error(ErrorKind::usage, fmt::format("--{} is of a delivery note", option), "add --delivery FILE");
    demand_words(call);
    Shelf shelf(call.ledger());
    const Delivery delivery = parse_delivery(call, shelf);
    const Lot& lot = delivery.lot;
    Book part;
    if (delivery.made) part.items.push_back(*delivery.made);
    part.lots = packs_of(call, shelf, lot);
    doubt_amounts(call, part);
    doubt_certificates(call, part.lots);
    doubt_prices(call, part.lots);
    doubt_typed_twice(call, part.lots);
    const bool is_one = part.lots.size() == 1;
    const std::string silo = fill_silo(call, shelf, part);
    if (!is_one) {
        const auto entry = call.book(part, EntryKind::receive,
                                     fmt::format("received {} packs of {} of {} as {} to {}", part.lots.size(),
                                                 report::on_the_scale(lot.received_amount), lot.item,
                                                 part.lots.front().code, part.lots.back().code));
        const report::ReceivedNote received{part, {entry, call.dry_run(), "lotwort stock --lots"}};
        return {call.json() ? report::receive_note_json(received) : report::receive_note_text(received)};
    }
    const auto what =
        lot.harvested_from
            ? fmt::format("harvested {} of {} from {} as {}, generation {}", report::on_the_scale(lot.received_amount),
                          lot.item, *lot.harvested_from, lot.code, *lot.generation)
            : fmt::format("received {} of {} as {}", report::on_the_scale(lot.received_amount), lot.item, lot.code);
    const Lot kept = part.lots.front();
    const auto entry = call.book(part, lot.harvested_from ? EntryKind::harvest : EntryKind::receive, what);
    const auto near = delivery.made ? near_names(call, shelf, delivery.named) : std::vector<std::string>();
    std::vector<std::string> remarks = remarks_on(call, lot);
    if (!silo.empty()) remarks.push_back(silo);
    if (near.empty() && !delivery.named.near_kind.empty()) remarks.push_back(near_remark(delivery.named));
    const report::Received received{
        kept, delivery.made, near, {entry, call.dry_run(), "lotwort stock"}, std::move(remarks)};
    return {call.json() ? report::receive_json(received) : report::receive_text(received)};
}

} // namespace

constinit const Command receive_command{
    .name = "receive",
    .group = Group::stock,
    .summary = "take a delivery into stock as a lot, with its certificate",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .back_dates = true,
    .doubts = true,
    .run = run,
};

} // namespace lotwort::verbs
