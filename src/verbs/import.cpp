// import: what an exchange file holds that the ledger lacks.
#include "brew/reading_log.hpp"
#include "shared.hpp"
#include "table.hpp"
#include <fmt/format.h>
#include <limits>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <lotwort/report/keep.hpp>
#include <map>
#include <memory>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"FILE", "an exchange file, or with --readings a table; - reads standard input"},
};

constexpr Option options[] = {
    {"readings", "", "FILE is a table of readings (CSV), as a logger or a spreadsheet writes it"},
    {"map", "MEANING=HEADING", "with --readings: what a column is; MEANING:UNIT=HEADING where its figures have no unit",
     true},
    {"set", "MEANING=VALUE", "with --readings: what all rows have in common: brew=B1, point=kettle-full", true},
};

bool is_empty(const LongBook& book) {
    Book nothing;
    nothing.currency = book.rest.currency;
    return book.rest == nothing && book.movements->size() == 0;
}

// Kind by kind, what there is of it.
std::vector<report::Kind> kinds_in(const LongBook& book, std::size_t most_names) {
    report::KindsSeen seen(most_names);
    seen.begin(book.rest);
    book.movements->for_each([&](const Movement& movement, std::uint64_t) { seen.movement(movement); });
    return seen.kinds();
}

// The lots, brews and plans of it, and what all its movements come to, lot by lot: what promises hang on.
Book stock_of(const LongBook& book) {
    Book part;
    part.lots = book.rest.lots;
    part.brews = book.rest.brews;
    part.plans = book.rest.plans;
    std::map<std::string, Movement> sums;
    book.movements->for_each([&](const Movement& movement, std::uint64_t) {
        const auto [at, is_new] = sums.emplace(movement.lot, movement);
        if (!is_new) at->second.change = at->second.change + movement.change;
    });
    for (auto& [lot, sum] : sums) part.movements.push_back(std::move(sum));
    return part;
}

LongBook read_new(Call& call, const std::string& path, const std::string& source) {
    return read_mended("import it again", [&] {
        const LongText text(path);
        Places places;
        LongBook file = read_long_exchange(
            text.view(), source, [&](std::size_t before) { text.forget(before); }, &places);
        call.progress("comparing it with the ledger");
        return new_in(
            std::move(file), [&](BookSink& sink) { call.ledger().book_to(sink); }, source, places,
            call.surroundings.today);
    });
}

LongBook read_part(Call& call, const std::string& path, const std::string& source) {
    if (call.args.has("readings")) {
        static const std::vector<Movement> none;
        return {readings_from_log(call, read_file(path), source), std::make_shared<HeldMovements>(none)};
    }
    for (const char* option : {"map", "set"})
        if (call.args.has(option))
            throw Error(ErrorKind::usage, fmt::format("--{} is for a table of readings", option), "add --readings");
    return read_new(call, path, source);
}

Answer run(Call& call) {
    call.may_book();
    const std::string& path = call.args.required("FILE");
    const std::string source = path == "-" ? "standard input" : path;
    call.progress("reading " + source);
    const LongBook added = read_part(call, path, source);
    report::Imported done{source, added.rest, {}, std::nullopt};
    done.kinds = kinds_in(added, call.json() ? std::numeric_limits<std::size_t>::max() : report::Imported::shown);
    if (!is_empty(added)) {
        call.progress("booking");
        const auto lost = promises_lost(call.desk(), stock_of(added));
        const auto entry = call.book(added, EntryKind::import_file, "imported " + source);
        done.booked = {entry, call.dry_run(), call.args.has("readings") ? "lotwort reconcile --all" : "lotwort stock",
                       lost};
    }
    call.progress("");
    return {call.json() ? report::import_json(done) : report::import_text(done)};
}

} // namespace

constinit const Command import_command{
    .name = "import",
    .group = Group::keep,
    .summary = "add what an exchange file holds and the ledger lacks",
    .ledger = LedgerUse::writes,
    .positionals = positionals,
    .options = options,
    .run = run,
};

} // namespace lotwort::verbs
