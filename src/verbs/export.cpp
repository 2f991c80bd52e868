// export: the whole ledger as one exchange file.
#include "shared.hpp"
#include "table.hpp"
#include <lotwort/desk/learn_request.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <lotwort/desk/stock_list.hpp>
#include <lotwort/exchange/exchange_file.hpp>
#include <lotwort/report/keep.hpp>
#include <lotwort/report/rows.hpp>
#include <lotwort/report/trend.hpp>

namespace lotwort::verbs {

namespace {

// Records of one kind, in the order of report::RowKind; then what is worked out of them, as two verbs list it.
enum class Rows { items, lots, movements, additions, readings, stock, trends };

} // namespace

} // namespace lotwort::verbs

namespace lotwort {

template <>
struct WordsOf<verbs::Rows> {
    static constexpr std::array<std::string_view, 7> list{"items",    "lots",  "movements", "additions",
                                                          "readings", "stock", "trends"};
};

} // namespace lotwort

namespace lotwort::verbs {

namespace {

constexpr Positional positionals[] = {
    {"FILE", "where it goes; standard output unless given", true},
};

constexpr Option options[] = {
    {"rows", "KIND", "only rows of one kind, as CSV: items, lots, movements, additions, readings, stock or trends"},
    {"force", "", "replace the file if it exists"},
};

// A line for each lot on hand, or for each brew what it showed.
std::string worked_out(Call& call, Rows rows) {
    Ledger& ledger = call.ledger();
    if (rows == Rows::trends) return report::trend_csv(
            learned_trend(call.desk(), ledger.definitions(), {}, report::usual_forecasts));
    StockChoice by_lot;
    by_lot.by_lot = true;
    const Date today = call.surroundings.today;
    return report::stock_csv(stock_list(rows_at(ledger, today), by_lot, today, ledger.currency()));
}

Answer run(Call& call) {
    const auto rows =
        read_option(call, "rows", [](const std::string& text) { return parse_word<Rows>(text, "a kind of rows"); });
    const auto file = call.args.text("FILE");
    const bool to_file = file && *file != "-";
    const bool json = to_file && call.json();
    (void)call.ledger(); // where there is none, that is said before the file is looked at
    if (!to_file) call.goes("what is exported goes to standard output as it is", "name a file: lotwort export FILE");
    std::string text;
    Book book;
    if (rows && *rows >= Rows::stock)
        text = worked_out(call, *rows);
    else {
        call.settle(); // what follows is one reading
        book = call.ledger().book();
        text = rows ? report::rows_csv(book, static_cast<report::RowKind>(*rows)) : write_exchange(book);
    }
    if (!to_file) return {std::move(text)};
    write_file(call, *file, text);
    const report::Exported done{*file, rows ? Book() : std::move(book)};
    return {json ? report::export_json(done) : report::export_text(done)};
}

} // namespace

constinit const Command export_command{
    .name = "export",
    .group = Group::keep,
    .summary = "write the whole ledger as one exchange file (JSON)",
    .ledger = LedgerUse::reads,
    .positionals = positionals,
    .options = options,
    .has_units = false,
    .run = run,
};

} // namespace lotwort::verbs
