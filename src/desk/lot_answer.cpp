#include <lotwort/desk/lot_answer.hpp>
#include <lotwort/desk/lot_values.hpp>
#include <lotwort/desk/names.hpp>
#include <lotwort/desk/stock_day.hpp>

namespace lotwort {

report::LotAnswer lot_answer(const Desk& desk, const LotState& state, Date day) {
    Ledger& ledger = desk.ledger;
    report::LotAnswer answer;
    answer.state = state;
    answer.item = item_of(ledger, state.lot);
    answer.movements = ledger.movements(state.lot.code);
    answer.currency = ledger.currency();
    if (is_past(ledger, day)) {
        demand_arrived(state.lot, day);
        const auto then = ledger.lots_on(day);
        answer.state = lot_among(then, state.lot.code);
        std::erase_if(answer.movements, [&](const Movement& movement) { return movement.on > day; });
        answer.says.push_back(said_of_past(day));
    }
    const Lot& lot = answer.state.lot;
    if (answer.item.kind == ItemKind::malt || answer.item.kind == ItemKind::sugar) try {
            answer.malt = malt_figures(answer.item, lot, day);
        } catch (const Error& fault) { // its paper is shown all the same
            answer.fault = fault.what();
        }
    if (answer.item.kind == ItemKind::hop) answer.hop = hop_age(answer.item, lot, day);
    if (answer.item.kind == ItemKind::yeast) answer.yeast = yeast_cells(answer.item, lot, day);
    LotValues values = values_in(ledger);
    answer.state.lot.price = values.price(state.lot);
    answer.value = values.left(state.lot, answer.state.on_hand);
    for (const LotValues::Step& step : values.steps(state.lot))
        if (step.change) answer.changes[*step.movement.id] = *step.change;
    return answer;
}

} // namespace lotwort
