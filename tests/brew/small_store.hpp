// Items, sacks and refusals as the tests of plans write them.
#pragma once

#include "lot_on_hand.hpp"
#include <lotwort/brew/planned_brew.hpp>
#include <lotwort/core/error.hpp>
#include <string>

namespace lotwort::test {

inline Item item(const char* name, ItemKind kind, const char* malt_class = nullptr) {
    Item made;
    made.name = name;
    made.kind = kind;
    if (malt_class != nullptr) made.malt_class = malt_class;
    return made;
}

inline LotState lot(const char* code, const char* of, Amount amount) {
    return lot_on_hand(code, of, amount);
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
