#include <algorithm>
#include <fmt/format.h>
#include <lotwort/core/error.hpp>
#include <lotwort/desk/lot_values.hpp>
#include <lotwort/desk/stock_day.hpp>
#include <tuple>

namespace lotwort {

Amount on_hand_at(const std::vector<Movement>& movements, Measure measure, Date day) {
    Amount sum{measure, 0};
    for (const Movement& movement : movements)
        if (movement.on <= day) sum = sum + movement.change;
    return sum;
}

bool is_past(Ledger& ledger, Date day) {
    return ledger.booked_after(day).has_value();
}

std::vector<LotState> lots_at(Ledger& ledger, Date day) {
    auto lots = is_past(ledger, day) ? ledger.lots_on(day) : ledger.lots();
    put_prices(lots, ledger);
    return lots;
}

std::vector<StockRow> rows_at(Ledger& ledger, Date day) {
    if (!is_past(ledger, day)) {
        auto rows = ledger.stock();
        put_prices(rows, ledger);
        return rows;
    }
    const Book book = ledger.definitions();
    std::vector<StockRow> rows;
    for (LotState& state : lots_at(ledger, day)) {
        StockRow& row = rows.emplace_back();
        row.kind = std::ranges::find(book.items, state.lot.item, &Item::name)->kind;
        row.item = std::move(state.lot.item);
        row.lot = std::move(state.lot.code);
        row.on_hand = state.on_hand;
        row.promised = state.promised;
        row.received_amount = state.lot.received_amount;
        row.price = state.lot.price;
        row.best_before = state.lot.best_before;
        row.held = std::move(state.lot.held);
    }
    std::ranges::stable_sort(
        rows, [](const StockRow& a, const StockRow& b) { return std::tie(a.kind, a.item) < std::tie(b.kind, b.item); });
    return rows;
}

std::vector<LotState> lots_to_plan(Ledger& ledger, Date day) {
    auto lots = lots_at(ledger, day);
    for (const StockRow& row : ledger.stock())
        for (LotState& state : lots)
            if (row.held && state.lot.code == row.lot) state.lot.held = row.held;
    return lots;
}

std::string said_of_past(Date day) {
    return fmt::format("as it was at the end of {}; plans and holds count from the day they were booked, and what an "
                       "import brought of them from the day of the import",
                       to_iso(day));
}

void demand_today(const Desk& desk) {
    const Date today = desk.today;
    const auto later = desk.ledger.booked_after(today);
    if (!later) return;
    throw Error(
        ErrorKind::refused,
        fmt::format("today is {}, and the ledger knows what was booked for {} already", to_iso(today), to_iso(*later)),
        fmt::format("look at the clock, or at LOTWORT_TODAY; what was there then: lotwort stock --on {}",
                    to_iso(today)));
}

} // namespace lotwort
