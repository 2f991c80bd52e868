#include <algorithm>
#include <lotwort/core/error.hpp>
#include <lotwort/stock/reserve.hpp>
#include <tuple>

namespace lotwort {

namespace {

// Earliest best-before first, none last; then as received; then by code, so that the answer is always the same.
bool is_used_before(const LotState* a, const LotState* b) {
    const auto key = [](const Lot& lot) {
        return std::tuple(!lot.best_before, lot.best_before.value_or(Date{}), lot.received, std::string_view(lot.code));
    };
    return key(a->lot) < key(b->lot);
}

// Why none of the lot may be used on that day; empty where it may. A pinned one may be past its date.
std::string bar(const Lot& lot, Measure measure, Date day, bool pinned) {
    if (lot.held) return "held: " + *lot.held;
    if (lot.received_amount.measure != measure) return "kept in another unit (" + to_text(lot.received_amount) + ")";
    if (lot.received > day) return "comes on " + to_iso(lot.received);
    if (!pinned && lot.best_before && *lot.best_before < day) return "best before " + to_iso(*lot.best_before);
    return {};
}

bool is_something(Amount amount) {
    return amount.units > 0;
}

auto pin_of(const std::vector<Pin>& pins, const LotState* state) {
    return std::ranges::find(pins, state->lot.code, &Pin::lot);
}

// In the order they are to be taken.
std::vector<const LotState*> candidates_for(const std::vector<LotState>& lots, std::string_view item,
                                            const std::vector<Pin>& pins) {
    std::vector<const LotState*> candidates;
    for (const LotState& state : lots)
        if (state.lot.item == item && is_something(state.on_hand)) candidates.push_back(&state);
    std::ranges::sort(candidates, is_used_before);
    std::ranges::stable_sort(candidates, {}, [&](const LotState* state) { return pin_of(pins, state) - pins.begin(); });
    return candidates;
}
std::vector<const LotState*> candidates_for(const std::vector<LotState>&&, std::string_view,
                                            const std::vector<Pin>&) = delete;

} // namespace

Allotment reserve(const std::vector<LotState>& lots, std::string_view item, Amount amount, Date day,
                  const std::vector<Pin>& pins) {
    Allotment allotment;
    allotment.missing = amount;
    for (const LotState* state : candidates_for(lots, item, pins)) {
        const Lot& lot = state->lot;
        const auto pin = pin_of(pins, state);
        if (auto why = bar(lot, amount.measure, day, pin != pins.end()); !why.empty()) {
            allotment.passed_over.push_back({lot.code, state->on_hand, std::move(why)});
            continue;
        }
        if (is_something(state->promised))
            allotment.passed_over.push_back(
                {lot.code, std::min(state->promised, state->on_hand), "promised to other brews"});
        Amount take = std::min(allotment.missing, state->free());
        if (pin != pins.end() && pin->amount) take = std::min(take, *pin->amount);
        if (!is_something(take)) continue;
        allotment.taken.push_back({lot.code, take});
        allotment.missing = allotment.missing - take;
    }
    return allotment;
}

void promise(std::vector<LotState>& lots, const std::vector<TakenLot>& taken) {
    for (const TakenLot& part : taken) {
        const auto state = std::ranges::find(lots, part.lot, [](const LotState& s) { return s.lot.code; });
        LOTWORT_CHECK(state != lots.end());
        state->promised = state->promised + part.amount;
    }
}

void use_up(std::vector<Pin>& pins, const std::vector<TakenLot>& taken) {
    for (const TakenLot& part : taken) {
        const auto pin = std::ranges::find(pins, part.lot, &Pin::lot);
        if (pin != pins.end() && pin->amount) pin->amount = *pin->amount - part.amount;
    }
}

} // namespace lotwort
