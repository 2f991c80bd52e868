// Items, sacks and refusals as the tests of plans write them.
#pragma once

#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/core/error.hpp>
#include <string>

namespace lotwort::test {

inline Date day(const char* iso) {
    return *parse_iso_date(iso);
}

inline Item item(const char* name, ItemKind kind, const char* malt_class = nullptr) {
    Item made;
    made.name = name;
    made.kind = kind;
    if (malt_class != nullptr) made.malt_class = malt_class;
    return made;
}

// All of it on hand since January.
inline LotState lot(const char* code, const char* of, Amount amount) {
    LotState state;
    state.lot.code = code;
    state.lot.item = of;
    state.lot.received = day("2026-01-02");
    state.lot.received_amount = state.on_hand = amount;
    return state;
}
inline LotState lot(const char* code, const char* of, double kg) {
    return lot(code, of, Amount::of(Kilograms(kg)));
}

// What a plan is refused with; empty where it is not.
inline std::string refused(const PlanRequest& request) {
    try {
        (void)draw_up_plan(request);
    } catch (const Error& error) {
        return error.what();
    }
    return "";
}

} // namespace lotwort::test
