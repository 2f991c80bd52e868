// receive: take a delivery into stock as a lot, with its certificate.
#include "lot_code.hpp"
#include "shared.hpp"
#include "verbs.hpp"
#include <fmt/format.h>
#include <lotwort/core/nearest.hpp>
#include <lotwort/report/receive.hpp>
#include <lotwort/stock/typical.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"ITEM", "what was delivered: \"pale ale malt\""},
    {"AMOUNT", "how much, with its unit: 25kg"},
};

constexpr std::array<Option, 10> own_options{{
    {"lot", "CODE", "your code for the lot; else initials and a number: PAM-1"},
    {"supplier", "NAME", "who delivered it"},
    {"supplier-lot", "CODE", "the supplier's own lot number"},
    {"price", "MONEY", "for the whole lot: 32.50"},
    {"best-before", "DATE", "as printed on the sack"},
    {"crop", "YEAR", "the year of the harvest"},
    {"storage", "TEMPERATURE", "where it is kept: 4C"},
    {"packaging", "WORDS", "how it is packed: vacuum"},
    {"kind", "KIND", "of an item that is new: malt, sugar, hop, yeast, salt or other"},
    {"class", "CLASS", "of a malt that is new: base, high-kilned, caramel, roasted, wheat, ..."},
}};
constexpr auto options = joined(own_options, certificate_options);

struct Delivery {
    Lot lot;
    std::optional<Item> made;
    std::vector<std::string> near;
};

Item new_item(const Call& call, const std::string& name) {
    Item item;
    item.name = name;
    const GuessedKind guess = guess_kind(name);
    const auto read_kind = [](const std::string& kind) { return parse_word<ItemKind>(kind, "a kind of item"); };
    item.kind = read_option(call, "kind", read_kind).value_or(guess.kind);
    if (item.kind == guess.kind && !guess.malt_class.empty()) item.malt_class = std::string(guess.malt_class);
    if (const auto malt_class = call.args.text("class")) item.malt_class = *malt_class;
    if (item.malt_class && item.kind != ItemKind::malt)
        throw Error(ErrorKind::refused,
                    fmt::format("{} is kept as {}, and only a malt has a class", name, word(item.kind)),
                    "add --kind malt, or leave --class out");
    return item;
}

// Extract and alpha acids are shares of a mass: what has them is received by mass.
Amount parse_received(const Item& item, const std::string& typed) {
    const bool by_mass = item.kind == ItemKind::malt || item.kind == ItemKind::sugar || item.kind == ItemKind::hop;
    const Amount amount = by_mass ? Amount::of(parse_mass(typed)) : parse_amount(typed);
    if (amount.units == 0)
        throw Error(ErrorKind::refused, fmt::format("`{}` is a delivery of nothing", typed),
                    "write what came, such as 25kg");
    return amount;
}

void parse_particulars(Call& call, Lot& lot) {
    const auto& args = call.args;
    if (const auto text = args.text("supplier")) lot.supplier = parse_name(*text, "supplier");
    lot.supplier_lot = args.text("supplier-lot");
    lot.price = read_option(call, "price", [&](const std::string& text) {
        return Money{parse_money_minor(text, call.ledger().currency())};
    });
    lot.best_before = call.date("best-before");
    lot.crop_year = read_option(call, "crop", [](const std::string& text) {
        return static_cast<int>(parse_whole(text, "crop year", 1900, 2199));
    });
    lot.storage = read_option(
        call, "storage", [](const std::string& text) { return parse_temperature(text, range_of<Lot>("storage_c")); });
    lot.packaging = args.text("packaging");
    lot.certificate = parse_certificate(call);
}

std::string free_code(Call& call, const std::string& item) {
    std::vector<std::string> taken;
    for (const StockRow& row : call.ledger().stock()) taken.push_back(row.lot);
    return next_lot_code(item, taken);
}

// Codes that differ in capitals alone would be taken for each other.
std::string parse_code(Call& call, const std::string& typed) {
    std::string code = parse_name(typed, "lot code");
    const auto there = find_lot(call.ledger(), code);
    if (!there) return code;
    const Lot& lot = there->lot;
    throw Error(ErrorKind::refused,
                fmt::format("there is a lot {} already: {} of {}, received {}", lot.code, to_text(lot.received_amount),
                            lot.item, to_iso(lot.received)),
                "give this delivery another code, or leave --lot out");
}

Delivery parse(Call& call) {
    const Book book = call.ledger().definitions();
    const std::string name = parse_name(call.args.required("ITEM"), "item");
    const std::string& typed = call.args.required("AMOUNT");
    Delivery delivery;
    const Item* known = find_item(book, name);
    if (known == nullptr) {
        delivery.made = new_item(call, name);
        delivery.near = nearest(name, item_names(book), 2);
    } else if (call.args.has("kind") || call.args.has("class")) {
        throw Error(ErrorKind::refused, fmt::format("{} is known already, as {}", known->name, word(known->kind)),
                    fmt::format("lotwort item change \"{}\" alters its kind or class", known->name));
    }
    const Item& item = known != nullptr ? *known : *delivery.made;
    Lot& lot = delivery.lot;
    lot.item = item.name;
    lot.received = call.on();
    lot.received_amount = parse_received(item, typed);
    parse_particulars(call, lot);
    const auto code = call.args.text("lot");
    lot.code = code ? parse_code(call, *code) : free_code(call, item.name);
    return delivery;
}

Answer run(Call& call) {
    const Delivery delivery = parse(call);
    const Lot& lot = delivery.lot;
    Book part;
    if (delivery.made) part.items.push_back(*delivery.made);
    part.lots.push_back(lot);
    const auto entry =
        call.book(part, EntryKind::receive,
                  fmt::format("received {} of {} as {}", to_text(lot.received_amount), lot.item, lot.code));
    const report::Received received{lot, delivery.made, delivery.near, {entry, call.dry_run(), "lotwort stock"}};
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
    .run = run,
};

} // namespace lotwort::cli
