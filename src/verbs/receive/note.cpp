#include "note.hpp"
#include "delivery.hpp"
#include "delivery_note.hpp"
#include "doubts.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/fault_lines.hpp>
#include <lotwort/report/receive.hpp>
#include <lotwort/verbs/visible.hpp>
#include <map>
#include <tuple>

namespace lotwort::verbs {

namespace {

// The row as if it had been typed, with what was typed for all rows.
Arguments words_of(const Call& call, const NotedLot& row) {
    Arguments words(call.command());
    const auto say = [&](std::string_view name, const std::string& value) {
        if (value.find_first_not_of(' ') == std::string::npos)
            throw Error(ErrorKind::refused, fmt::format("the {} is blank", name));
        words.add(name, value);
    };
    for (const auto& [meaning, value] : row.said)
        if (meaning != "item" && meaning != "amount") say(meaning, value);
    for (const char* option : {"supplier", "storage", "packaging", "basis", "on", "ledger"}) {
        const bool is_said = row.said.contains(option);
        const bool is_idle = option == std::string_view("basis") && !row.said.contains("extract");
        if (is_said || is_idle) continue;
        if (const auto value = call.args.text(option)) say(option, *value);
    }
    for (const char* word : {"item", "amount"}) {
        const auto said = row.said.find(word);
        if (said == row.said.end()) throw Error(ErrorKind::refused, fmt::format("the {} is missing", word));
        say(word == std::string_view("item") ? "ITEM" : "AMOUNT", said->second);
    }
    return words;
}

struct Noted {
    Book part;
    std::vector<std::size_t> lines; // of the file, of each lot
    std::vector<std::string> remarks{};
};

void add_row(Call& call, const NotedLot& row, Shelf& shelf, Noted& noted) {
    for (const auto& [meaning, cell] : row.said) demand_text(cell, "a cell");
    Arguments words = words_of(call, row);
    struct InPlace { // of what was typed for all rows
        Call& call;
        Arguments& words;
        InPlace(Call& c, Arguments& w) : call(c), words(w) { std::swap(call.args, words); }
        ~InPlace() { std::swap(call.args, words); }
    } const in_place{call, words};
    Delivery delivery = parse_delivery(call, shelf);
    shelf.give(delivery.lot.code, delivery.lot.item);
    if (auto remark = near_remark(delivery.named); !remark.empty())
        noted.remarks.push_back(fmt::format("line {}: {}", row.line, remark));
    if (delivery.made) noted.part.items.push_back(shelf.make(*delivery.made));
    noted.part.lots.push_back(std::move(delivery.lot));
    noted.lines.push_back(row.line);
}

Noted read_rows(Call& call, const std::string& path, const std::string& file) {
    const CsvTable table = read_csv(read_file(call, path), file);
    Noted noted;
    Shelf shelf(call.ledger());
    FaultLines faults;
    for (const NotedLot& row : read_note(table, call.args.text("columns").value_or(""), file)) try {
            add_row(call, row, shelf, noted);
        } catch (const Error& fault) {
            if (fault.kind() == ErrorKind::ledger) throw;
            faults.add([&] { return fmt::format("line {}: {}", row.line, fault.what()); });
        }
    if (faults.count() > 0)
        throw Error(ErrorKind::refused,
                    fmt::format("{}: {} of its rows cannot be received{}", file, faults.count(), listed(faults)),
                    "nothing was booked: mend the file and read it again");
    return noted;
}

// What a lot is known again by. A supplier's own lot comes on one day or on two; without its number the day tells.
auto content_of(const Lot& lot) {
    return std::tuple(lot.item, lot.supplier, lot.supplier_lot, lot.received_amount.measure, lot.received_amount.units,
                      lot.supplier_lot ? Date() : lot.received);
}

// A line for each row that a lot of the ledger answers for, each lot for one.
FaultLines received_before(const Ledger& ledger, const Noted& noted) {
    std::multimap<decltype(content_of(Lot())), const Lot*> there;
    const std::vector<LotState> lots = ledger.lots();
    for (const LotState& state : lots)
        if (state.lot.made_from.empty() && !state.lot.harvested_from) there.emplace(content_of(state.lot), &state.lot);
    FaultLines lines;
    for (std::size_t i = 0; i < noted.lines.size(); ++i) {
        const auto found = there.find(content_of(noted.part.lots[i]));
        if (found == there.end()) continue;
        lines.add([&] {
            const Lot& lot = *found->second;
            return fmt::format("line {}: {} of {} as {} on {}", noted.lines[i], to_text(lot.received_amount), lot.item,
                               lot.code, to_iso(lot.received));
        });
        there.erase(found);
    }
    return lines;
}

// Who reads a note a second time has forgotten that it was read, more often than the same came again.
void demand_not_twice(Call& call, const std::string& file, const Noted& noted) {
    const bool again = call.args.has("again");
    call.demand_bookable(); // a slip of the words is told before one of the mind
    const FaultLines before = received_before(call.ledger(), noted);
    if (again == (before.count() > 0)) return;
    if (again)
        throw Error(ErrorKind::refused, fmt::format("nothing of {} was received before", file), "leave --again out");
    const std::string which =
        before.count() == noted.lines.size()
            ? "was received before"
            : fmt::format("was received before in {} of its {} rows", before.count(), noted.lines.size());
    throw Error(ErrorKind::refused, fmt::format("{} {}{}", file, which, listed(before)),
                "nothing was booked: if it came once more, add --again");
}

} // namespace

Answer receive_note(Call& call, const std::string& path) {
    const std::string file = name_of_file(call, path);
    for (const char* alone : {"ITEM", "lot", "supplier-lot", "price", "packs", "from-brew", "certificate"})
        if (call.args.has(alone))
            throw Error(ErrorKind::usage, fmt::format("{} is of one lot, and the note holds them all", alone),
                        "write it in the note, or receive that lot by itself");
    call.goes("the note says it of each lot", "write it in a column of the note, or receive that lot by itself");
    const Noted noted = read_rows(call, path, file);
    demand_not_twice(call, file, noted);
    doubt_amounts(call, noted.part);
    doubt_certificates(call, noted.part.lots);
    doubt_prices(call, noted.part.lots);
    const auto lots = noted.part.lots.size();
    const auto entry = call.book(noted.part, EntryKind::receive,
                                 fmt::format("received {} {} by {}", lots, lots == 1 ? "lot" : "lots", file));
    const report::ReceivedNote received{noted.part, {entry, call.dry_run(), "lotwort stock --lots"}, {}, noted.remarks};
    return {call.json() ? report::receive_note_json(received) : report::receive_note_text(received)};
}

} // namespace lotwort::verbs
