#include "beer_account.hpp"
#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/brew_cost.hpp>
#include <lotwort/desk/calendar.hpp>
#include <lotwort/desk/lot_values.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/desk/statement.hpp>
#include <unordered_map>

namespace lotwort {

report::Statement statement_of(const Desk& desk, Date from, Date to) {
    if (to < from)
        throw Error(ErrorKind::refused, fmt::format("{} comes before {}", to_iso(to), to_iso(from)),
                    "put the earlier day behind --from");
    if (to > desk.today)
        throw Error(ErrorKind::refused, fmt::format("{} has not come yet", to_iso(to)),
                    fmt::format("the books can be closed up to today, {}", to_iso(desk.today)));
    Ledger& ledger = desk.ledger;
    const Book definitions = ledger.definitions();
    std::vector<Lot> lots;
    for (LotState& state : ledger.lots()) lots.push_back(std::move(state.lot));
    LotValues values = values_in(ledger);
    report::Statement statement;
    statement.from = from;
    statement.to = to;
    statement.currency = ledger.currency();
    statement.entries = ledger.newest_entry();
    statement.books = stock_books(
        lots, values, [&](const std::string& name) { return known_item(definitions, name).kind; }, from, to);
    statement.kinds = by_kind(statement.books.items);
    std::unordered_map<std::string, const Lot*> by_code;
    for (const Lot& lot : lots) by_code.emplace(lot.code, &lot);
    const auto lot_called = [&](const std::string& code) {
        const auto at = by_code.find(code);
        return at == by_code.end() ? std::nullopt : std::optional(*at->second);
    };
    for (const auto& [code, part] : freight_beside(definitions, lot_called))
        if (const auto lot = lot_called(code); lot && lot->received >= from && lot->received <= to)
            statement.freight_beside.minor += part.minor;
    add_beer(statement, ledger);
    return statement;
}

Period month_of(const std::string& text, Date today) {
    const Date first = first_of_month(text, today);
    const std::chrono::year_month_day day(first);
    const Date last = Date(day.year() / day.month() / std::chrono::last);
    if (first > today)
        throw Error(ErrorKind::refused, fmt::format("{} has not come yet", text),
                    fmt::format("the books can be closed up to today, {}", to_iso(today)));
    return {first, std::min(last, today)};
}

Period last_month(Date today) {
    const std::chrono::year_month_day day(today);
    const Date first = Date(day.year() / day.month() / 1);
    return month_of(to_iso(first - std::chrono::days(1)).substr(0, 7), today);
}

report::Statement last_statement(const Desk& desk) {
    const Period over = last_month(desk.today), now = month_of(std::string(this_month), desk.today);
    report::Statement last = statement_of(desk, over.from, over.to);
    const bool is_empty = last.books.items.empty() && last.beer.empty();
    return is_empty ? statement_of(desk, now.from, now.to) : last;
}

} // namespace lotwort
