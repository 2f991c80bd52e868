#include "delivery.hpp"
#include "trade.hpp"
#include "yeast.hpp"
#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/stock/certificate_kind.hpp>
#include <lotwort/stock/malt.hpp>

namespace lotwort::verbs {

namespace {

ItemKind read_kind(const std::string& typed) {
    return parse_word<ItemKind>(typed, "a kind of item");
}

Item new_item(const Call& call, const NewName& named) {
    const std::string& name = named.name;
    Item item;
    item.name = name;
    constexpr std::array of_malt{"class", "certificate", "extract", "basis", "moisture", "colour", "wk", "protein"};
    const GuessedKind guess = kind_of_name(call, named, of_malt);
    item.kind = read_option(call, "kind", read_kind).value_or(guess.kind);
    if (item.kind == guess.kind && !guess.malt_class.empty()) item.malt_class = std::string(guess.malt_class);
    if (const auto malt_class = call.args.text("class")) item.malt_class = *malt_class;
    if (item.malt_class && item.kind != ItemKind::malt)
        throw Error(ErrorKind::refused,
                    fmt::format("{} is kept as {}, and only a malt has a class", name, word(item.kind)),
                    "add --kind malt, or leave --class out");
    return item;
}

Amount parse_received(const Item& item, const std::string& typed) {
    const Amount amount = is_kept_by_mass(item.kind)     ? Amount::of(parse_mass(typed))
                          : item.kind == ItemKind::yeast ? parse_amount(packs_counted(typed))
                                                         : parse_amount(typed);
    if (amount.units == 0)
        throw Error(ErrorKind::refused, fmt::format("`{}` is a delivery of nothing", typed),
                    "write what came, such as 25kg");
    return amount;
}

void parse_particulars(const Call& call, const std::string& currency, Lot& lot) {
    const auto& args = call.args;
    if (const auto text = args.text("supplier")) lot.supplier = parse_name(*text, "supplier");
    lot.supplier_lot = args.text("supplier-lot");
    lot.price = read_option(call, "price", [&](const std::string& text) { return parse_money(call, text, currency); });
    lot.best_before = call.date("best-before", Looks::best_before);
    lot.crop_year = read_option(call, "crop", [&](const std::string& text) {
        return static_cast<int>(parse_whole(text, "crop year", 1900, year_of(call.on())));
    });
    parse_keeping(call, lot);
    lot.certificate = parse_certificate(call);
}

// What no malt of that moisture can hold would stand in the way of every later answer about the lot.
void demand_possible(const Item& item, const Lot& lot) {
    if (item.kind != ItemKind::malt && item.kind != ItemKind::sugar) return;
    if (!lot.certificate || !lot.certificate->extract) return;
    try {
        (void)malt_figures(item, lot, lot.received);
    } catch (const Error& fault) {
        throw of_option("extract", fault);
    }
}

void parse_cells_of(const Call& call, const Item& item, Lot& lot) {
    lot.packed = call.date("packed", Looks::back);
    if (const auto cells = read_option(call, "cells", parse_cells)) lot.cells_billion = cells_of_lot(*cells, lot);
    if ((lot.packed || lot.cells_billion) && item.kind != ItemKind::yeast)
        throw Error(ErrorKind::refused, fmt::format("{} is no yeast, and has no cells to count", item.name),
                    "leave --packed and --cells out");
    if (lot.packed && lot.received < *lot.packed)
        throw Error(ErrorKind::refused,
                    fmt::format("--packed {} is after it came, on {}", to_iso(*lot.packed), to_iso(lot.received)),
                    "look at the days");
}

// One generation more than the oldest yeast that was pitched; yeast as it was bought counts nothing.
void harvest(Call& call, const Item& item, const std::string& code, Lot& lot) {
    if (item.kind != ItemKind::yeast)
        throw Error(ErrorKind::refused, fmt::format("{} is no yeast, and is not harvested", item.name),
                    "leave --from-brew out");
    const Brew brew = known_brew(call.ledger(), code);
    if (lot.received < brew.date)
        throw Error(ErrorKind::refused,
                    fmt::format("{} was brewed on {}, after {}", brew.code, to_iso(brew.date), to_iso(lot.received)),
                    "look at the day");
    int generation = 0;
    for (const Addition& addition : brew.additions) {
        const auto pitched = call.ledger().lot(addition.lot);
        if (pitched && pitched->lot.item == item.name)
            generation = std::max(generation, pitched->lot.generation.value_or(0));
    }
    lot.harvested_from = brew.code;
    lot.generation = generation + 1;
}

// Codes that differ in capitals alone would be taken for each other.
void demand_free(Call& call, Shelf& shelf, const std::string& code) {
    if (shelf.is_given(code))
        throw Error(ErrorKind::refused, fmt::format("two lots are called {}", code), "give one another code");
    const auto there = shelf.lot(code);
    if (!there) return;
    const Lot lot = call.ledger().lot(*there)->lot;
    throw Error(ErrorKind::refused,
                fmt::format("there is a lot {} already: {} of {}, received {}", lot.code, to_text(lot.received_amount),
                            lot.item, to_iso(lot.received)),
                "give this delivery another code, or leave --lot out");
}

} // namespace

void parse_keeping(const Call& call, Lot& lot) {
    lot.storage = read_option(
        call, "storage", [](const std::string& text) { return parse_temperature(text, range_of<Lot>("storage_c")); });
    lot.packaging = call.args.text("packaging");
}

void demand_fitting(const Item& item, const std::optional<Certificate>& found) {
    if (!found) return;
    if (speaks_of_hop(*found) && item.kind == ItemKind::malt)
        throw Error(ErrorKind::refused, fmt::format("{} is a malt, and alpha acids are of hops", item.name),
                    "a new hop is received with --kind hop; else look at the certificate, and at the item");
    if (speaks_of_malt(*found) && item.kind == ItemKind::hop)
        throw Error(ErrorKind::refused, fmt::format("{} is a hop, and the certificate speaks of a malt", item.name),
                    "look at the certificate, and at the item");
}

Delivery parse_delivery(Call& call, Shelf& shelf) {
    const std::string name = parse_name(call.args.required("ITEM"), "item");
    const std::string& typed = call.args.required("AMOUNT");
    return parse_delivery_of(call, shelf, name, [&](const Item& item) { return parse_received(item, typed); });
}

Delivery parse_delivery_of(Call& call, Shelf& shelf, const std::string& name,
                           const std::function<Amount(const Item&)>& amount_of) {
    Delivery delivery;
    const Item* known = shelf.item(name);
    if (known == nullptr) {
        delivery.named = new_name(call, name, shelf.item_names());
        known = shelf.item(delivery.named.name);
    }
    if (known == nullptr) {
        delivery.made = new_item(call, delivery.named);
    } else if (call.args.has("kind") || call.args.has("class")) {
        const auto kind = call.args.text("kind"), malt_class = call.args.text("class");
        const bool is_so = (!kind || *kind == word(known->kind)) && (!malt_class || malt_class == known->malt_class);
        const std::string change = fmt::format("lotwort item change {}{}{} alters it", shell_word(known->name),
                                               kind ? " --kind " + shell_word(*kind) : "",
                                               malt_class ? " --class " + shell_word(*malt_class) : "");
        throw Error(ErrorKind::refused, fmt::format("{} is known already, as {}", known->name, word(known->kind)),
                    is_so ? "leave --kind and --class out" : change);
    }
    const Item& item = known != nullptr ? *known : *delivery.made;
    Lot& lot = delivery.lot;
    lot.item = item.name;
    lot.received = call.on();
    lot.received_amount = amount_of(item);
    parse_particulars(call, shelf.currency(), lot);
    demand_fitting(item, lot.certificate);
    parse_cells_of(call, item, lot);
    if (const auto brew = call.args.text("from-brew")) harvest(call, item, *brew, lot);
    const auto code = call.args.text("lot");
    lot.code = code ? parse_name(*code, "lot code") : shelf.free_code(item.name);
    demand_free(call, shelf, lot.code);
    demand_possible(item, lot);
    return delivery;
}

std::optional<std::int64_t> parse_packs(const Call& call) {
    return read_option(call, "packs",
                       [](const std::string& text) { return parse_whole(text, "number of packs", 2, 1000); });
}

std::vector<Lot> packs_of(Call& call, Shelf& shelf, const Lot& lot) {
    const auto packs = parse_packs(call);
    if (!packs) return {lot};
    const bool coded = call.args.has("lot");
    std::vector<Lot> lots;
    for (std::int64_t i = 0; i < *packs; ++i) {
        Lot& pack = lots.emplace_back(lot);
        pack.code = coded ? fmt::format("{}-{}", lot.code, i + 1) : shelf.free_code(lot.item);
        if (coded && shelf.lot(pack.code))
            throw Error(ErrorKind::refused, fmt::format("there is a lot {} already", pack.code),
                        "give this delivery another code, or leave --lot out");
        // the price is for all of them: each has its part, and the last what rounding left
        if (lot.price) pack.price = Money{lot.price->minor * (i + 1) / *packs - lot.price->minor * i / *packs};
        shelf.give(pack.code, pack.item);
    }
    return lots;
}

} // namespace lotwort::verbs
