#include "lot_answer.hpp"
#include "stock_list.hpp"

namespace lotwort::cli {

report::LotAnswer lot_answer(Call& call, const LotState& state) {
    Ledger& ledger = call.ledger();
    report::LotAnswer answer;
    answer.state = state;
    answer.item = item_of(ledger, state.lot);
    answer.movements = ledger.movements(state.lot.code);
    answer.currency = ledger.currency();
    const Date today = call.surroundings.today;
    if (answer.item.kind == ItemKind::malt || answer.item.kind == ItemKind::sugar) try {
            answer.malt = malt_figures(answer.item, state.lot, today);
        } catch (const Error& fault) { // its paper is shown all the same
            answer.fault = fault.what();
        }
    if (answer.item.kind == ItemKind::hop) answer.hop = hop_age(answer.item, state.lot, today);
    if (state.lot.price) answer.value = value_at_cost(*state.lot.price, state.on_hand, state.lot.received_amount);
    return answer;
}

} // namespace lotwort::cli
