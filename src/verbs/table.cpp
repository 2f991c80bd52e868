#include "table.hpp"

namespace lotwort::verbs {

namespace {

constexpr Option on_option{"on", "DATE", "the day it happened (YYYY-MM-DD, today, yesterday); today unless given"};
constexpr Option sure_option{"sure", "", "it is so: book what is hard to believe without asking"};
constexpr Option by_option{"by", "NAME", "who books it; else LOTWORT_BY"};
constexpr Option note_option{"note", "TEXT", "why, in your own words; kept with the entry"};
constexpr Option dry_run_option{"dry-run", "", "show what would be booked, with every check, and book nothing"};
constexpr Option ledger_option{"ledger", "PATH", "the ledger file; else LOTWORT_LEDGER, else your data folder"};
constexpr Option units_option{"units", "SYSTEM", "answer in us (lb, gal(US), °F) or metric; else as the house works"};
constexpr Option csv_option{"csv", "", "print the rows as CSV"};
constexpr Option json_option{"json", "", "print the answer as JSON"};
constexpr Option help_option{"help", "", "show this page"};

constexpr const Command* table[] = {
    &init_command,      &item_command,    &brewhouse_command,  &recipe_command,    &receive_command, &stock_command,
    &offer_command,     &buy_command,     &order_command,      &lot_command,       &count_command,   &discard_command,
    &tank_command,      &plan_command,    &substitute_command, &brew_command,      &measure_command, &package_command,
    &reconcile_command, &explain_command, &trend_command,      &statement_command, &report_command,  &trace_command,
    &history_command,   &reverse_command, &convert_command,    &import_command,    &export_command,  &verify_command,
    &backup_command,    &serve_command,
};

} // namespace

std::span<const Command* const> commands() {
    return table;
}

std::vector<Option> all_options(const Command& command) {
    std::vector<Option> all(command.options.begin(), command.options.end());
    const bool books = command.ledger == LedgerUse::writes || command.ledger == LedgerUse::creates;
    if (command.back_dates) all.push_back(on_option);
    if (command.doubts) all.push_back(sure_option);
    if (books) {
        all.push_back(by_option);
        all.push_back(note_option);
        all.push_back(dry_run_option);
    }
    if (command.ledger != LedgerUse::none && command.has_units) all.push_back(units_option);
    if (command.ledger != LedgerUse::none) all.push_back(ledger_option);
    if (command.has_rows) all.push_back(csv_option);
    all.push_back(json_option);
    all.push_back(help_option);
    return all;
}

} // namespace lotwort::verbs
