// import: what an exchange file holds that the ledger lacks.
#include "brew/brew_table.hpp"
#include "brew/reading_log.hpp"
#include "shared.hpp"
#include "table.hpp"
#include <fmt/format.h>
#include <lotwort/desk/promises_lost.hpp>
#include <lotwort/desk/use_ids.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <lotwort/report/keep.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"FILE", "an exchange file, or with --brews or --readings a table; - reads standard input"},
};

constexpr Option options[] = {
    {"brews", "", "FILE is a table of what went into brews (CSV), as a spreadsheet writes it"},
    {"columns", "MEANING=HEADING,...", "with --brews: which column is what"},
    {"readings", "", "FILE is a table of readings (CSV), as a logger or a spreadsheet writes it"},
    {"map", "MEANING=HEADING", "with --readings: what a column is; MEANING:UNIT=HEADING where its figures have no unit",
     true},
    {"set", "MEANING=VALUE", "with --readings: what all rows have in common: brew=B1, point=kettle-full", true},
};

bool is_empty(const Book& book) {
    Book nothing;
    nothing.currency = book.currency;
    return book == nothing;
}

Book read_new(Call& call, const std::string& path, const std::string& source) {
    return read_mended("import it again", [&] {
        const std::string text = read_file(call, path);
        Places places;
        const Book file = read_exchange(text, source, &places);
        call.demand_unstopped();
        call.progress("comparing it with the ledger");
        const UseIds ids = [&](const Brew& brew) { return use_ids(call.ledger(), brew); };
        return new_in(file, call.ledger().book(), source, places, call.surroundings.today, ids);
    });
}

MovedIn read_part(Call& call, const std::string& path, const std::string& source) {
    if (call.args.has("brews") && call.args.has("readings"))
        throw Error(ErrorKind::usage, "a table is of brews or of readings", "import one, then the other");
    if (call.args.has("brews")) {
        call.goes("a table of brews is read", "write --columns MEANING=HEADING,...");
        return brews_from_table(call, read_file(call, path), source);
    }
    if (call.args.has("columns")) throw Error(ErrorKind::usage, "--columns is for a table of brews", "add --brews");
    if (call.args.has("readings")) return {readings_from_log(call, read_file(call, path), source), {}};
    for (const char* option : {"map", "set"})
        if (call.args.has(option))
            throw Error(ErrorKind::usage, fmt::format("--{} is for a table of readings", option), "add --readings");
    return {read_new(call, path, source), {}};
}

Answer run(Call& call) {
    call.may_book();
    const std::string& path = call.args.required("FILE");
    const std::string source = path == "-" ? "standard input" : path;
    call.progress("reading " + source);
    MovedIn read = read_part(call, path, source);
    report::Imported done{source, std::move(read.part), std::nullopt};
    if (!is_empty(done.added)) {
        call.progress("booking");
        const auto lost = promises_lost(call.desk(), done.added);
        const auto entry = call.book(done.added, EntryKind::import_file, "imported " + source);
        done.booked = {entry, call.dry_run(), call.args.has("readings") ? "lotwort reconcile --all" : "lotwort stock",
                       lost, std::move(read.says)};
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
    .doubts = true,
    .run = run,
};

} // namespace lotwort::verbs
