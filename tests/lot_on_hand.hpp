// Days and lots as tests of stock and plans write them.
#pragma once

#include <lotwort/core/date.hpp>
#include <lotwort/stock/lot.hpp>

namespace lotwort::test {

inline Date day(const char* iso) {
    return *parse_iso_date(iso);
}

// All of it on hand since January.
inline LotState lot_on_hand(const char* code, const char* item, Amount amount) {
    LotState state;
    state.lot.code = code;
    state.lot.item = item;
    state.lot.received = day("2026-01-02");
    state.lot.received_amount = state.on_hand = amount;
    return state;
}

} // namespace lotwort::test
