// receive: take a delivery into stock as a lot, with its certificate.
#include "delivery.hpp"
#include "delivery_note.hpp"
#include "doubts.hpp"
#include "receive_order.hpp"
#include "shared.hpp"
#include "verbs.hpp"
#include "visible.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <lotwort/core/shell_word.hpp>
#include <lotwort/report/receive.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"ITEM", "what was delivered: \"pale ale malt\"", true},
    {"AMOUNT", "how much, with its unit: 25kg", true},
};

constexpr std::array<Option, 16> own_options{{
    {"lot", "CODE", "your code for the lot; else initials and a number: PAM-1"},
    {"supplier", "NAME", "who delivered it"},
    {"supplier-lot", "CODE", "the supplier's own lot number"},
    {"price", "MONEY", "for the whole lot: 32.50"},
    {"best-before", "DATE", "as printed on the sack"},
    {"crop", "YEAR", "the year of the harvest"},
    {"storage", "TEMPERATURE", "where it is kept: 4C"},
    {"packaging", "WORDS", "how it is packed: vacuum"},
    {"packs", "NUMBER", "it came in so many equal packs, each a lot of its own; AMOUNT is that of one"},
    {"delivery", "FILE", "a delivery note as CSV: a lot for each row, all of them or none"},
    {"columns", "MAP", "of the note: item=HEADING,amount=HEADING,...; columns of those names need no telling"},
    {"from-brew", "BREW", "a yeast that was harvested from this brew; its generation follows"},
    {"order", "CODE", "it came of this order: O1; without ITEM all that is awaited of it came"},
    {"no-more", "REASON", "with --order: what has not come will not come"},
    {"kind", "KIND", "of an item that is new: malt, sugar, hop, yeast, salt or other"},
    {"class", "CLASS", "of a malt that is new: base, high-kilned, caramel, roasted, wheat, ..."},
}};
constexpr auto options = joined(own_options, certificate_options);

// The words that would be typed for one row of a note, beside what the command line says of all rows.
std::vector<std::string> words_of(const Call& call, const NotedLot& row) {
    std::vector<std::string> words;
    for (const auto& [meaning, value] : row.said)
        if (meaning != "item" && meaning != "amount") words.push_back(fmt::format("--{}={}", meaning, value));
    for (const char* option : {"supplier", "storage", "packaging", "basis", "on", "ledger"}) {
        const bool is_said = row.said.contains(option);
        const bool is_idle = option == std::string_view("basis") && !row.said.contains("extract");
        if (is_said || is_idle) continue;
        if (const auto value = call.args.text(option)) words.push_back(fmt::format("--{}={}", option, *value));
    }
    words.emplace_back("--"); // whatever an item's name begins with
    for (const char* word : {"item", "amount"}) {
        const auto said = row.said.find(word);
        if (said == row.said.end()) throw Error(ErrorKind::refused, fmt::format("the {} is missing", word));
        words.push_back(said->second);
    }
    return words;
}

struct Noted {
    Book part;
    std::vector<std::string> faults;
};

void add_row(Call& call, const NotedLot& row, std::vector<std::string>& taken, Book& part) {
    for (const auto& [meaning, cell] : row.said) demand_text(cell, "a cell");
    Arguments words = parse_arguments(call.command(), words_of(call, row));
    struct InPlace { // of what was typed for all rows
        Call& call;
        Arguments& words;
        InPlace(Call& c, Arguments& w) : call(c), words(w) { std::swap(call.args, words); }
        ~InPlace() { std::swap(call.args, words); }
    } const in_place{call, words};
    const Delivery delivery = parse_delivery(call, taken);
    taken.push_back(delivery.lot.code);
    const auto made = [&](const Item& item) { return delivery.made && item.name == delivery.made->name; };
    if (delivery.made && std::ranges::none_of(part.items, made)) part.items.push_back(*delivery.made);
    part.lots.push_back(delivery.lot);
}

Noted read_rows(Call& call, const std::string& file) {
    const CsvTable table = read_csv(read_file(file), file);
    Noted noted;
    std::vector<std::string> taken;
    for (const NotedLot& row : read_note(table, call.args.text("columns").value_or(""), file)) try {
            add_row(call, row, taken, noted.part);
        } catch (const Error& fault) {
            if (fault.kind() == ErrorKind::ledger) throw;
            noted.faults.push_back(fmt::format("line {}: {}", row.line, fault.what()));
        }
    return noted;
}

// A delivery note: all of its rows, or none of them and all that is wrong with them.
Answer from_note(Call& call, const std::string& file) {
    for (const char* alone : {"ITEM", "lot", "supplier-lot", "price", "packs", "from-brew", "certificate"})
        if (call.args.has(alone))
            throw Error(ErrorKind::usage, fmt::format("{} is of one lot, and the note holds them all", alone),
                        "write it in the note, or receive that lot by itself");
    call.goes("the note says it of each lot", "write it in a column of the note, or receive that lot by itself");
    const Noted noted = read_rows(call, file);
    if (!noted.faults.empty())
        throw Error(ErrorKind::refused,
                    fmt::format("{}: {} of its rows cannot be received\n{}", file, noted.faults.size(),
                                fmt::join(noted.faults, "\n")),
                    "nothing was booked: mend the file and read it again");
    doubt_prices(call, noted.part.lots);
    const auto lots = noted.part.lots.size();
    const auto entry = call.book(noted.part, EntryKind::receive,
                                 fmt::format("received {} {} by {}", lots, lots == 1 ? "lot" : "lots", file));
    const report::ReceivedNote received{noted.part, {entry, call.dry_run(), "lotwort stock --lots"}};
    return {call.json() ? report::receive_note_json(received) : report::receive_note_text(received)};
}

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

Answer run(Call& call) {
    if (const auto code = call.args.text("order")) return receive_order(call, *code);
    if (call.args.has("no-more")) throw Error(ErrorKind::usage, "--no-more is of an order", "add --order CODE");
    if (const auto file = call.args.text("delivery")) return from_note(call, *file);
    if (call.args.has("columns"))
        throw Error(ErrorKind::usage, "--columns is of a delivery note", "add --delivery FILE");
    demand_words(call);
    const Delivery delivery = parse_delivery(call);
    const Lot& lot = delivery.lot;
    Book part;
    if (delivery.made) part.items.push_back(*delivery.made);
    part.lots = packs_of(call, lot);
    doubt_prices(call, part.lots);
    if (part.lots.size() > 1) {
        const auto entry = call.book(part, EntryKind::receive,
                                     fmt::format("received {} packs of {} of {} as {} to {}", part.lots.size(),
                                                 to_text(lot.received_amount), lot.item, part.lots.front().code,
                                                 part.lots.back().code));
        const report::ReceivedNote received{part, {entry, call.dry_run(), "lotwort stock --lots"}};
        return {call.json() ? report::receive_note_json(received) : report::receive_note_text(received)};
    }
    const auto what = lot.harvested_from
                          ? fmt::format("harvested {} of {} from {} as {}, generation {}", to_text(lot.received_amount),
                                        lot.item, *lot.harvested_from, lot.code, *lot.generation)
                          : fmt::format("received {} of {} as {}", to_text(lot.received_amount), lot.item, lot.code);
    const auto entry = call.book(part, lot.harvested_from ? EntryKind::harvest : EntryKind::receive, what);
    const report::Received received{
        lot, delivery.made, delivery.near, {entry, call.dry_run(), "lotwort stock"}, remarks_on(call, lot)};
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

} // namespace lotwort::cli
