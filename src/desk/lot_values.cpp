#include <lotwort/desk/lot_values.hpp>

namespace lotwort {

LotValues values_in(Ledger& ledger) {
    return {[&ledger](const std::string& code) -> std::optional<Lot> {
                auto state = ledger.lot(code);
                return state ? std::optional(std::move(state->lot)) : std::nullopt;
            },
            [&ledger](const std::string& code) { return ledger.movements(code); }};
}

void put_prices(std::vector<StockRow>& rows, Ledger& ledger) {
    LotValues values = values_in(ledger);
    for (StockRow& row : rows)
        if (row.is_made) row.price = values.price(ledger.lot(row.lot)->lot);
}

void put_prices(std::vector<LotState>& lots, Ledger& ledger) {
    LotValues values = values_in(ledger);
    for (LotState& state : lots) state.lot.price = values.price(state.lot);
}

} // namespace lotwort
