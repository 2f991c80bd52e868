// export: the whole ledger as one exchange file.
#include "shared.hpp"
#include "verbs.hpp"
#include <lotwort/exchange/exchange_file.hpp>
#include <lotwort/report/keep.hpp>
#include <lotwort/report/rows.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"FILE", "where it goes; standard output unless given", true},
};

constexpr Option options[] = {
    {"rows", "KIND", "only rows of one kind, as CSV: items, lots, movements, additions or readings"},
    {"force", "", "replace the file if it exists"},
};

Answer run(Call& call) {
    const Book book = call.ledger().book();
    const auto rows = read_option(
        call, "rows", [](const std::string& text) { return parse_word<report::RowKind>(text, "a kind of rows"); });
    std::string text = rows ? report::rows_csv(book, *rows) : write_exchange(book);
    const auto file = call.args.text("FILE");
    if (!file || *file == "-") return {std::move(text)};
    write_file(*file, text, call.args.has("force"));
    const report::Exported done{*file, rows ? Book{} : book};
    return {call.json() ? report::export_json(done) : report::export_text(done)};
}

} // namespace

constinit const Command export_command{
    .name = "export",
    .group = Group::keep,
    .summary = "write the whole ledger as one exchange file (JSON)",
    .ledger = LedgerUse::reads,
    .positionals = positionals,
    .options = options,
    .run = run,
};

} // namespace lotwort::cli
