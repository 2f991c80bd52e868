// export: the whole ledger as one exchange file.
#include "shared.hpp"
#include "verbs.hpp"
#include <lotwort/exchange/exchange_file.hpp>
#include <lotwort/report/keep.hpp>

namespace lotwort::cli {

namespace {

constexpr Positional positionals[] = {
    {"FILE", "where it goes; standard output unless given", true},
};

constexpr Option options[] = {
    {"force", "", "replace the file if it exists"},
};

Answer run(Call& call) {
    const Book book = call.ledger().book();
    std::string text = write_exchange(book);
    const auto file = call.args.text("FILE");
    if (!file || *file == "-") return {std::move(text)};
    write_file(*file, text, call.args.has("force"));
    const report::Exported done{*file, book};
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
