// report: answers as pages that need nothing but a browser or a printer.
#include "report/all_pages.hpp"
#include "report/kinds.hpp"
#include "shared.hpp"
#include "table.hpp"
#include <lotwort/report/report.hpp>

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"WHAT",
     "brew, lot, plan, trace, brewhouse, stock, statement, calendar, purchase, order, substitute, brew-sheet, "
     "count-sheet or labels; the whole brewery unless given",
     true},
    {"NAME", "of the brew, lot, brewhouse, order or plan, a code to trace; the month; the lots to label", true, true},
};

constexpr Option options[] = {
    {"out", "FILE", "where the page goes; standard output unless given; with --all the folder"},
    {"all", "", "every page there is, with an index, linked to each other, into the folder that --out names"},
    {"grain", "TEMPERATURE", "with brew-sheet: the grain's, for the strike; else as usual in that season"},
    {"prices", "", "with order: what it costs, too"},
    {"force", "", "replace the file if it exists"},
};

Answer all(Call& call, const std::optional<std::string>& folder) {
    if (call.args.has("WHAT")) throw Error(ErrorKind::usage, "--all is every page", "leave --all out");
    if (!folder) throw Error(ErrorKind::usage, "all pages are a folder", "write: lotwort report --all --out pages");
    if (call.args.has("grain")) throw Error(ErrorKind::usage, "--grain is of one sheet", "leave it out");
    if (call.args.has("prices")) throw Error(ErrorKind::usage, "--prices is of an order's page", "leave it out");
    call.goes("every page is written");
    const auto pages = all_pages(call);
    write_files(call, *folder, pages);
    report::WrittenPages written{*folder};
    for (const auto& [file, text] : pages) written.add(text);
    return {call.json() ? report::written_pages_json(written) : report::written_pages_text(written)};
}

Answer run(Call& call) {
    const auto out = call.args.text("out");
    const auto file = out && *out != "-" ? out : std::nullopt;
    if (call.json() && !file)
        throw Error(
            ErrorKind::usage, "a page is no JSON",
            "add --out FILE to have it written and told of; reconcile, trend and stock --json have the figures");
    const auto what = call.args.text("WHAT");
    if (call.args.has("all")) return all(call, file);
    std::string page = page_of(call, what.value_or(""), call.args.all("NAME"));
    if (!file) {
        call.goes("the page goes to standard output", "add --out FILE");
        return {std::move(page), 0, true};
    }
    write_file(call, *file, page);
    const report::WrittenPage written{*file, page};
    return {call.json() ? report::written_page_json(written) : report::written_page_text(written)};
}

} // namespace

constinit const Command report_command{
    .name = "report",
    .group = Group::look_back,
    .summary = "a page of the same answers, with charts, and the sheets to print",
    .ledger = LedgerUse::reads,
    .positionals = positionals,
    .options = options,
    .run = run,
};

} // namespace lotwort::verbs
